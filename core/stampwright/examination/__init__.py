"""Examination: artwork laid out and judged as a job would make it, before any solid is built."""

from .examination import Examination, examine_job
from .laying import Laid, about_artwork, lay_out_job, limits_of

__all__ = ["Examination", "Laid", "about_artwork", "examine_job", "lay_out_job", "limits_of"]
