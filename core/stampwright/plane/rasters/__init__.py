"""Pictures in the plane: scan conversion, distances on a raster, bitmap files."""
