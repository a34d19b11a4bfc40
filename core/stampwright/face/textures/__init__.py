"""Textures of the face: grains and pictures as height maps, and the die that bears them."""
