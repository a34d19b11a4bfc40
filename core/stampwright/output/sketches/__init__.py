"""Sketches: plain drawings of areas, regions, strokes, dots and words, as SVG, as pixels or as PDF."""
