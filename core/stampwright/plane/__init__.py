"""Work in the plane that every room shares: frames, regions, rasters, distances and pictures."""
