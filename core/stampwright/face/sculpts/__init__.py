"""Sculpts: read back from a shaped die, and settled so that they print."""
