"""Prints found in scans and photographs: marks, codes, perspective, and what says how large the picture is."""
