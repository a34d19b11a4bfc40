"""Pressing a stamp, or any mesh, on paper, and showing what comes of it."""
