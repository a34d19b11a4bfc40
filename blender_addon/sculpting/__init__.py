"""Sculpted and textured faces: what the artist's brushes, images and textures make of a die's face."""
