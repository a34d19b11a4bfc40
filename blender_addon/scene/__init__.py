"""Stamps in the scene: which there are, their parts as meshes, the sheet with the impression."""
