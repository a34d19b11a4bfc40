"""The sections of a job: every setting with its default, unit, limits and reason."""
