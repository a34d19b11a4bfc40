"""Drawings written in a line or two, and what they leave in ink."""

from collections.abc import Callable

import pytest
from stampwright.artwork import Artwork
from stampwright.artwork.svg import read_svg

Draw = Callable[..., Artwork]


@pytest.fixture
def draw() -> Draw:
    """Return a function that reads a drawing given as what its ``svg`` element holds; 1 user unit is 1 mm."""

    def drawn(body: str, *, width: float = 100, height: float = 100, attributes: str = "") -> Artwork:
        text = (
            f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="{width}mm" '
            f'height="{height}mm" viewBox="0 0 {width} {height}" {attributes}>{body}</svg>'
        )
        return read_svg(text.encode())

    return drawn
