"""Painting: the walk over the document, what it lays on the page, and what of it is seen as ink."""
