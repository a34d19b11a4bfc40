"""Outlines: path data and basic shapes as curves, curves as points, points as filled or stroked regions."""
