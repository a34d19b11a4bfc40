"""The job as Blender knows it: the core's settings as properties, presets, and what the user prefers."""
