"""Panels of what is set: art, inks, face, parts, printer, and presets of them."""
