"""The sections of a job: every figure with its default, unit, limits and reason."""
