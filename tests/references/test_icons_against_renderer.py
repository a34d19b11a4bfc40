"""Ink read from open icon sets equals the ink that an independent renderer draws."""

import pytest
from stampwright.artwork import read_artwork

from .rendering import agreement, rendered_ink


@pytest.mark.parametrize(("package", "count"), [("bootstrap-icons", 240), ("@mapbox/maki", 60)])
def test_ink_read_from_icons_is_the_ink_that_a_renderer_draws(icon_files, sweep, package, count):
    files = icon_files(package)
    chosen = sweep(files[:: max(1, len(files) // count)][:count], quick=count // 4)
    found = {path.name: agreement(read_artwork(path), rendered_ink(path)) for path in chosen}
    assert {name: round(value, 4) for name, value in found.items() if value < 0.99} == {}
    assert len(found) == len(chosen) >= count // 4
