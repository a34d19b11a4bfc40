"""Artwork drawn as curves, strokes and faces in another program, handed over as plain arrays."""

from .curves import bezier_curve, joined, polyline, rational_course, rational_curve
from .own_curves import outline_points, profile_points
from .shapes import Brushed, Faces, Filled, Line, Shape, draw_artwork, extent_of

__all__ = [
    "Brushed",
    "Faces",
    "Filled",
    "Line",
    "Shape",
    "bezier_curve",
    "draw_artwork",
    "extent_of",
    "joined",
    "outline_points",
    "polyline",
    "profile_points",
    "rational_course",
    "rational_curve",
]
