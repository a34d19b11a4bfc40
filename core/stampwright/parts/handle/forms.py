"""The handle's forms, each a short list of strokes from the foot up."""

from __future__ import annotations

from collections.abc import Callable

from .sizes import GROOVE_RISE, RIM_LIPS, Sizes, rim_height
from .strokes import ProfileStroke, ogee_rise


def knob(sizes: Sizes) -> list[ProfileStroke]:
    """A turned knob: rimmed foot, hollow up to a slim neck, full belly, low dome with a flat."""
    foot, neck, grip = sizes.foot[1], sizes.neck[1], sizes.grip[1]
    rim = _rim_top(sizes)
    # Natural heights of hollow, swell and dome; a taller handle stretches all, a lower one the swell last.
    hollow, dome = 0.6 * (foot - RIM_LIPS * sizes.lip - neck), 0.52 * grip
    swell = ogee_rise(sizes.swell)
    hollow, swell, dome = _shared_out(sizes.height - rim, hollow, swell, dome)
    return [
        *_rim(sizes),
        ProfileStroke(neck=1, height=rim + hollow, roundness=1, moulding="cove"),
        ProfileStroke(grip=1, height=rim + hollow + swell, roundness=1, moulding="ogee"),
        ProfileStroke(grip=0.7, out=-sizes.edge, height=sizes.height, roundness=1, moulding="ovolo"),
    ]


def grip(sizes: Sizes) -> list[ProfileStroke]:
    """A waisted grip: rimmed foot, long bell to the waist, long swell to a palm-wide head, low dome with a flat."""
    rim = _rim_top(sizes)
    dome = min(0.3 * sizes.grip[1], 0.4 * (sizes.height - rim))
    bell = 0.42 * (sizes.height - rim - dome)
    swell = sizes.height - rim - dome - bell
    lacking = min(ogee_rise(sizes.swell), 0.75 * (swell + bell)) - swell
    if lacking > 0:
        bell, swell = bell - lacking, swell + lacking
    return [
        *_rim(sizes),
        ProfileStroke(neck=1, height=rim + bell, roundness=1, moulding="cove"),
        ProfileStroke(grip=1, height=rim + bell + swell, roundness=1, moulding="ogee"),
        ProfileStroke(grip=0.82, out=-sizes.edge, height=sizes.height, roundness=1, moulding="ovolo"),
    ]


def block(sizes: Sizes) -> list[ProfileStroke]:
    """A straight block bar: upright sides, rounded upper edge; a rim and a hollow where the base is the broader."""
    rim, foot, bar = rim_height(sizes.height), sizes.foot[1], sizes.grip[1]
    most = 0.3 * sizes.height
    ledge = foot - RIM_LIPS * sizes.lip - bar
    if ledge > 1:
        below = [*_rim(sizes), ProfileStroke(grip=1, height=_rim_top(sizes) + min(0.5 * ledge, most), moulding="cove")]
    elif foot - bar > 0.2:
        plain = [ProfileStroke(foot=1, height=0), ProfileStroke(foot=1, height=rim)]
        below = [*_groove(sizes), *plain, ProfileStroke(grip=1, height=rim + min(foot - bar, most), moulding="cove")]
    else:
        below = [*_groove(sizes), ProfileStroke(foot=1, height=0), *_scored_line(rim)]
    # Where the edge stays sharp, a rounding of no length would touch itself.
    rounding = [ProfileStroke(grip=1, out=-sizes.edge, height=sizes.height, moulding="ovolo")] if sizes.edge else []
    return [*below, ProfileStroke(grip=1, height=sizes.height - sizes.edge), *rounding]


FORMS: dict[str, Callable[[Sizes], list[ProfileStroke]]] = {"knob": knob, "grip": grip, "block": block}


def _rim(sizes: Sizes) -> list[ProfileStroke]:
    height, top, lip = rim_height(sizes.height), _rim_top(sizes), sizes.lip
    rounding = min(0.4 * height, 0.6 * lip)
    return [
        *_groove(sizes),
        ProfileStroke(foot=1, height=0),
        ProfileStroke(foot=1, height=height - rounding),
        ProfileStroke(foot=1, out=-rounding, height=height, moulding="ovolo"),
        ProfileStroke(foot=1, out=-lip, height=height),
        ProfileStroke(foot=1, out=-1.5 * lip, height=top, moulding="ovolo"),
        ProfileStroke(foot=1, out=-RIM_LIPS * lip, height=top),
    ]


def _rim_top(sizes: Sizes) -> float:
    """Return the height of the bead on the rim, where a form's own course begins, mm."""
    height = rim_height(sizes.height)
    return height + min(0.5 * sizes.lip, 0.4 * height)


def _groove(sizes: Sizes) -> list[ProfileStroke]:
    if not sizes.groove:
        return []
    half, inset = sizes.groove / 2, sizes.lip + sizes.groove
    return [
        ProfileStroke(foot=1, out=-inset - half, height=0),
        ProfileStroke(foot=1, out=-inset, height=GROOVE_RISE * sizes.groove),
        ProfileStroke(foot=1, out=-inset + half, height=0),
    ]


def _scored_line(height: float) -> list[ProfileStroke]:
    # It parts foot from bar to the eye. The upper flank leans under 45 degrees even in a square corner.
    return [
        ProfileStroke(foot=1, height=height),
        ProfileStroke(foot=1, out=-0.7, height=height + 0.4),
        ProfileStroke(foot=1, height=height + 1.5),
    ]


def _shared_out(height: float, hollow: float, swell: float, dome: float) -> tuple[float, float, float]:
    natural = hollow + swell + dome
    if natural <= height:
        more = height / natural
        return hollow * more, swell * more, dome * more
    yielding = max(height - swell, 0.4 * (hollow + dome))
    less = min(1.0, height / (swell + yielding))
    share = yielding / (hollow + dome) * less
    return hollow * share, swell * less, dome * share
