"""Tracing: scans and photographs of artwork as clean outlines of true size."""

from __future__ import annotations

from ...face.tones.screens import choose_screen, screen_tones, screened_finding
from ...plane.rasters.pictures import FORMATS, MOST_PIXELS, Picture, decode_picture, read_picture
from .bitmap import TracedPicture, read_bitmap, trace_as_told, trace_picture, true_pixel
from .regions import outline_below
from .thresholds import flatten_light

__all__ = [
    "FORMATS",
    "MOST_PIXELS",
    "Picture",
    "TracedPicture",
    "choose_screen",
    "decode_picture",
    "flatten_light",
    "outline_below",
    "read_bitmap",
    "read_picture",
    "screen_tones",
    "screened_finding",
    "trace_as_told",
    "trace_picture",
    "true_pixel",
]
