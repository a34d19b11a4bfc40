"""Making stamps, from a selection or a template; placing, repairing, and their settings."""
