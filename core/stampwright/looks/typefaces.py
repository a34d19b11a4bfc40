"""The typefaces of proof, ticket and diagrams: open families, then whatever the reader's machine has of the kind."""

from __future__ import annotations

SANS = "'Noto Sans','DejaVu Sans','Liberation Sans',sans-serif"
"""For all that is read."""

SERIF = "'Noto Serif','DejaVu Serif','Liberation Serif',serif"
"""For headings."""
