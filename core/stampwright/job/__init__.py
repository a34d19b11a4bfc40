"""The job: every setting of one stamp, with its default, unit, limits and reason, and the files that hold one."""

from .job import Job, job_settings

__all__ = ["Job", "job_settings"]
