"""The library that sees, where it is installed."""

from __future__ import annotations

from typing import Any

from ...errors import PrintError


def vision() -> Any:
    """Return OpenCV; raises :class:`~stampwright.errors.PrintError` in one line when it is not installed."""
    try:
        # Not all who make stamps measure prints: the library is an extra (stampwright[prints]).
        import cv2  # noqa: PLC0415
    except ImportError as error:
        raise PrintError(
            "prints are read by a library that is not installed here: install stampwright[prints]"
        ) from error
    return cv2
