"""Films: what moves in them, and how they come round."""
