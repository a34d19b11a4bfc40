"""What is to be said of artwork as it lies in the scene: what is turned, foreshortened, or left out."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..stampwright.findings import Finding
from ..stampwright.looks.numbers import percent
from .planes import NEARLY_LEVEL, SEEN_FROM, normal_of

TURNED, TILTED = "turned artwork", "tilted artwork"
PICTURED, HIDDEN, MASKED = "picture traced", "hidden artwork", "masked layer"
LEFT_OUT, ELSEWHERE, OTHERWISE = "artwork left out", "artwork elsewhere", "looks otherwise"
"""Kinds of finding."""


def left_out(name: str) -> Finding:
    """Return that an object is not printed, as it is excluded from what the scene shows."""
    return _warning(
        LEFT_OUT,
        message=f"{name} does not print: its collection is excluded from the view layer",
        remedy="Tick the collection in the Outliner, or take the object off the list of artwork",
    )


def disabled(name: str) -> Finding:
    """Return that an object is not printed, as the host does not evaluate what is disabled in viewports."""
    return _warning(
        LEFT_OUT,
        message=f"{name} does not print: it, or its collection, is disabled in viewports",
        remedy="Click its screen in the Outliner (Filter shows it), or take the object off the list of artwork",
    )


def deleted(name: str) -> Finding:
    """Return that an object is not printed, as it was deleted; the stamp alone still knows of it."""
    return _warning(
        LEFT_OUT,
        message=f"{name} does not print: it is in no collection, as after deleting it",
        remedy="Undo that, link it to a collection, or take it off the list of artwork",
    )


def hidden(name: str) -> Finding:
    """Return that an object prints though nobody sees it: the eye in the Outliner is for the viewport alone."""
    return _note(
        HIDDEN,
        message=f"{name} is hidden in the viewport and prints all the same",
        remedy="To leave it out, exclude its collection from the view layer, or take it off the list of artwork",
    )


def elsewhere(name: str) -> Finding:
    """Return that an object is printed without what the host makes of it, as it is in another scene, or in none."""
    return _note(
        ELSEWHERE,
        message=f"{name} is not in this scene: it prints as it was drawn, without modifiers",
        remedy="Link it to the scene to have modifiers and edits followed, or take it off the list of artwork",
    )


def empty(name: str) -> Finding:
    """Return that an object shows nothing that would print."""
    return _warning(
        LEFT_OUT,
        message=f"{name} does not print: nothing is drawn in it, or all of it is hidden",
        remedy="Draw in it, show its layers, or take the object off the list of artwork",
    )


def masked(name: str, layer: str) -> Finding:
    """Return that a layer of strokes prints whole, whatever the host masks of it."""
    return _warning(
        MASKED,
        message=f"the layer {layer} of {name} is masked in the viewport, and prints whole",
        remedy="Cut its strokes where they shall end, or switch its masks off",
    )


def pictured(name: str) -> Finding:
    """Return that of a plane with a picture the picture is printed."""
    return _note(
        PICTURED,
        message=f"{name} bears a picture from corner to corner: what is dark in it prints, and not the whole plane",
        remedy="Nothing need be done; take the picture off its material to print the plane",
    )


def edge_on(name: str) -> Finding:
    """Return that an object covers nothing from where it is seen."""
    return _warning(
        LEFT_OUT,
        message=f"{name} does not print: it is seen from its edge, which covers nothing",
        remedy="Set Seen From to Front, Right or Its Own Face, or lay it flat",
    )


def curves_of_nodes(name: str) -> Finding:
    """Return that the curves that nodes make of an object do not print, as this host does not tell where they run."""
    return _warning(
        LEFT_OUT,
        message=f"curves that the geometry nodes of {name} make do not print: this Blender does not tell them",
        remedy="End the nodes with Curve to Mesh",
    )


def particles(name: str) -> Finding:
    """Return that hair or particles do not print, of which the host alone knows the shape."""
    return _warning(
        LEFT_OUT,
        message=f"particles or hair of {name} do not print",
        remedy="Press Convert to Mesh in the modifier of the particles, and print what comes of it",
    )


def volume(name: str) -> Finding:
    """Return that a volume that nodes make does not print."""
    return _warning(
        LEFT_OUT,
        message=f"a volume that the geometry nodes of {name} make does not print",
        remedy="End the nodes with Volume to Mesh",
    )


def loose_edges(name: str) -> Finding:
    """Return that edges without faces do not print beside faces."""
    return _warning(
        LEFT_OUT,
        message=f"edges of {name} that bound no face do not print beside its faces",
        remedy="Part them from it with Mesh, Separate, and print them as an object of their own, or delete them",
    )


def effect(name: str, shown: str) -> Finding:
    """Return that an effect changes how strokes look, and not how they print."""
    return _warning(
        OTHERWISE,
        message=f"the effect {shown} of {name} does not print",
        remedy="Draw what it shows, or switch it off",
    )


def shaded(name: str, paint: str) -> Finding:
    """Return that what is filled, or drawn, with a gradient or a picture prints solid."""
    return _warning(
        OTHERWISE,
        message=f"the material {paint} of {name} is a gradient or a picture, and prints solid",
        remedy="Give it a solid style, or draw its shades as lines",
    )


def soft(name: str) -> Finding:
    """Return that lines with soft edges print with sharp ones."""
    return _note(
        OTHERWISE,
        message=f"lines of {name} have soft edges, and print sharp, in their whole width",
        remedy="Draw them with a hard brush to see how they print",
    )


def in_pixels(name: str) -> Finding:
    """Return that lines that are as broad on the screen however near they are print as in world space."""
    return _warning(
        OTHERWISE,
        message=f"lines of {name} are as broad on every screen, and print as in world space",
        remedy="Set Stroke Thickness to World Space in the tab of its data to see how they print",
    )


def of_plane(name: str, plane: str, points: Any, view: Any) -> list[Finding]:
    """Return what is to be said of art seen in a plane: that it was turned by itself, or is seen askew.

    ``points``: (n, 3) float, world; ``view``: (3, 3) float, see :func:`view_of`.
    """
    if plane == "AUTO" and not np.allclose(view, SEEN_FROM["ABOVE"]):
        return [
            Finding(
                kind=TURNED,
                severity="notes",
                stage="artwork",
                message=f"{name} stands upright in the scene and prints as seen from its front",
                remedy="Nothing need be done; Seen From sets another side",
            )
        ]
    normal = normal_of(points)
    square = 1.0 if normal is None else abs(float(normal @ view[2]))
    if square >= NEARLY_LEVEL:
        return []
    return [
        Finding(
            kind=TILTED,
            severity="warns",
            stage="artwork",
            message=f"{name} is seen askew and prints at {percent(square)} of its height",
            remedy="Set Seen From to Its Own Face, or lay the artwork flat",
        )
    ]


def _warning(kind: str, *, message: str, remedy: str) -> Finding:
    return Finding(kind=kind, severity="warns", stage="artwork", message=message, remedy=remedy)


def _note(kind: str, *, message: str, remedy: str) -> Finding:
    return Finding(kind=kind, severity="notes", stage="artwork", message=message, remedy=remedy)
