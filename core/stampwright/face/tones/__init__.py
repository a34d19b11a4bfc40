"""Tones in the ink: grey pictures screened into dots and lines that print."""
