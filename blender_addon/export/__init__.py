"""A stamp's files, written beside Blender."""
