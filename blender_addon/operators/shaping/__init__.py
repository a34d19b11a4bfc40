"""Shaping what is made: handles by hand, sculpted faces, finishes."""
