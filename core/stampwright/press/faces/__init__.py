"""Faces: which region of a mesh touches paper, cut exactly, seen from above, as printed and as dressed."""
