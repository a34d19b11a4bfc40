"""Lines of the scene as strokes: curves, splines, hair, and the pens that draw them."""
