"""The plan of a solid, seen from above: outlines on the grid, the flank's foot, and the triangles between them."""
