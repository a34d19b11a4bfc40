"""What there is to say of how much a file feeds, for the room that its lines have."""

from __future__ import annotations

from collections.abc import Iterator

from ...findings import Finding
from ..laid.flow import LEAN, RICH, Flow


def tell_flow(flow: Flow) -> Iterator[Finding]:
    """Yield what is wrong with a feed: none for these lines, or too lean or rich for them."""
    if flow.is_wrong:
        yield _wrong_feed(flow)
    elif flow.is_off:
        yield _feed_off(flow)


def _wrong_feed(flow: Flow) -> Finding:
    much = flow.share > 1
    return Finding(
        kind="wrong feed",
        severity="blocks",
        stage="build",
        message=f"{flow.share:.2f} times as much is fed as lines {flow.spacing:.2f} mm apart have room for: the "
        f"file is for {'thinner' if much else 'thicker'} filament, or tells {'volumes' if much else 'lengths'}; "
        "what follows is seen as if it were fed right",
        remedy="State the filament's diameter (--filament), or that volumes are told (--volumetric); where both "
        "are right, the slicer's are not",
        measured=flow.share,
        limit=1.0,
        unit="",
    )


def _feed_off(flow: Flow) -> Finding:
    much = flow.share > 1
    return Finding(
        kind="wrong feed",
        severity="warns",
        stage="build",
        message=f"{flow.share:.2f} times as much is fed as lines {flow.spacing:.2f} mm apart have room for: "
        + ("they swell, and close narrow gaps" if much else "they leave gaps, and the die is weak and prints streaks"),
        remedy=f"{'Lower' if much else 'Raise'} the slicer's flow (also M221), unless you measured that your filament "
        "needs it",
        measured=flow.share,
        limit=RICH if much else LEAN,
        unit="",
    )
