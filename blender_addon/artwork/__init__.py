"""What is drawn in the scene as the core's artwork, and the core's outlines as curves of the scene."""
