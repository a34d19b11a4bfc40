"""The ticket: one stamp's sheet for the workshop."""
