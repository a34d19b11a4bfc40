"""Artwork in its own colours: every colour that is seen, as a region of its own, for dies with an ink each."""
