"""Seeing: what of marks and layers laid on the page is dark to an observer."""
