"""How much an SVG file may ask of the reader before it is refused; every limit can be raised."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import ArtworkError


@dataclass(frozen=True, kw_only=True)
class Limits:
    """Bounds that keep a hostile or runaway file from filling the memory or the day.

    Real drawings stay far below all of them. Pass ``Limits(most_points=...)`` to ``read_artwork`` to raise one.
    ``largest_file`` and ``largest_unpacked`` are bytes (of the file, and after decompression or entity expansion),
    ``deepest`` is how far elements may be nested, ``most_elements`` how many the file may hold, ``most_drawn`` how
    many may be drawn once every ``use`` is followed, ``most_points`` how many points all flattened outlines may
    have together, ``most_dashes`` how many dashes all strokes may have together, ``most_tiles`` how many marks a
    pattern may lay down, ``most_crossings`` how often outlines may cross each other, ``most_compared`` how many
    edges may be looked at, all in all, to tell what crossing outlines fill, ``most_beside`` how many pairs of edges
    may lie beside each other in what is filled, by the boxes that they span, ``most_filters`` how many
    filter primitives may be worked out, ``longest_filter`` how many primitives and inputs one filter may have,
    ``most_pictured`` how many bytes and pixels all embedded pictures may have together, each counted as often as it
    is drawn, ``deepest_references`` how far clip paths, masks, patterns and markers may refer to each other,
    ``deepest_layers`` how far layers with an opacity, mask or blend of their own may be nested, ``farthest`` how
    far from the page's corner a point may lie, mm.
    """

    largest_file: int = 48_000_000
    largest_unpacked: int = 48_000_000
    deepest: int = 5_000
    most_elements: int = 1_000_000
    most_drawn: int = 100_000
    most_points: int = 2_000_000
    most_dashes: int = 100_000
    most_tiles: int = 50_000
    most_crossings: int = 500_000
    most_compared: int = 30_000_000
    most_beside: int = 150_000_000
    most_filters: int = 300
    longest_filter: int = 40
    most_pictured: int = 120_000_000
    deepest_references: int = 16
    deepest_layers: int = 64
    farthest: float = 1e6


DEFAULTS = Limits()


def beyond(limit: str, found: str, limits: Limits) -> ArtworkError:
    """Return the error for a file that goes past ``limit`` (a field of :class:`Limits`), saying how to raise it."""
    allowed = getattr(limits, limit)
    return ArtworkError(
        f"{found}; the limit is {allowed:,.0f}. Simplify the drawing; a Python program can raise the limit: "
        f"read_artwork(..., limits=Limits({limit}=...))"
    )
