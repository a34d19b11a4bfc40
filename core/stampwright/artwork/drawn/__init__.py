"""Artwork drawn as curves, strokes and faces in another program, handed over as plain arrays."""

from .brushes import Brushed, Dabs, directions, spaced
from .curves import bezier_curve, joined, polyline, rational_course, rational_curve
from .own_curves import outline_points, profile_points
from .shapes import Faces, Filled, Line, Shape, draw_artwork, extent_of

__all__ = [
    "Brushed",
    "Dabs",
    "Faces",
    "Filled",
    "Line",
    "Shape",
    "bezier_curve",
    "directions",
    "draw_artwork",
    "extent_of",
    "joined",
    "outline_points",
    "polyline",
    "profile_points",
    "rational_course",
    "rational_curve",
    "spaced",
]
