"""Outlines of what is told by its parts: by edges that cross each other, or by the cells of a grid."""
