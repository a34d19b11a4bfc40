"""The grid that all outlines lie on; alone here, so that settings may know it before anything heavy is loaded."""

GRID = 2.0**-12
"""Spacing of the grid, mm. 32-bit floats hold every multiple of it up to 4096 mm: a file changes nothing in x, y."""
