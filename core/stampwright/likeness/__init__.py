"""Likeness: the impression judged by the art as it was given, as a reader sees it."""

from ..job.kinds import (
    CODE_UNREADABLE,
    COUNTER_LOST,
    COUNTER_OPENED,
    FELL_APART,
    GAP_CLOSED,
    PART_LOST,
    PRINT_KINDS,
    RUN_TOGETHER,
    STROKE_LOST,
    WIDENED,
)
from ..preflight.limits import EYE
from .changes import Change, Likeness
from .codes import CodeReading, judge_codes, read_codes
from .comparing import laid_parts, liken, unchanged
from .given import GivenArt
from .judgement import Judgement, judge_by_art
from .judging import judge_likeness
from .tones import ToneLikeness
from .words import likeness_in_words

__all__ = [
    "CODE_UNREADABLE",
    "COUNTER_LOST",
    "COUNTER_OPENED",
    "EYE",
    "FELL_APART",
    "GAP_CLOSED",
    "PART_LOST",
    "PRINT_KINDS",
    "RUN_TOGETHER",
    "STROKE_LOST",
    "WIDENED",
    "Change",
    "CodeReading",
    "GivenArt",
    "Judgement",
    "Likeness",
    "ToneLikeness",
    "judge_by_art",
    "judge_codes",
    "judge_likeness",
    "laid_parts",
    "liken",
    "likeness_in_words",
    "read_codes",
    "unchanged",
]
