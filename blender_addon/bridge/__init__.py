"""The bridge: what is drawn in the scene to the core's artwork, and the core's solids to meshes."""
