"""Which of what is drawn is ink: what its materials, layers and collections are, and which of these print."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from .. import loading

if TYPE_CHECKING:
    from bpy.types import Object

Sort = Literal["material", "layer", "collection"]

PLAIN = ""
"""Name that stands for having no material."""


class Look(NamedTuple):
    """What is drawn in a material: what it is ``left_out`` as, nothing if it prints, and the ``paint``, by name.

    ``paper``: it is as white as paper, and shows that where it lies over ink.
    """

    left_out: str = ""
    paint: str = PLAIN
    paper: bool = False


@dataclass(frozen=True)
class InkChoice:
    """What is no ink, as pairs of a sort and a name; all else prints."""

    left_out: frozenset[tuple[str, str]] = frozenset()

    def of_layer(self, name: str) -> str:
        """Return what a layer of strokes is left out as, or nothing if it prints."""
        return self._as("layer", name)

    def of_material(self, material: Any) -> Look:
        """Return how what is drawn in a material, or in none, is taken."""
        if material is None:
            return Look(self._as("material", PLAIN))
        paper = bool(loading.load("artwork.paints").is_white(material))
        return Look(self._as("material", material.name), material.name, paper)

    def of_slots(self, seen: Object) -> tuple[Look, ...]:
        """Return for each of an object's slots, and last for having none, how what has its material is taken."""
        return (*(self.of_material(slot.material) for slot in seen.material_slots), self.of_material(None))

    def of_collections(self, drawn: Object) -> str:
        """Return what an object is left out as for the collections that it is in: it prints if one of them does."""
        held = [each.name for each in drawn.users_collection]
        refused = [name for name in held if ("collection", name) in self.left_out]
        return self._as("collection", refused[0]) if refused and len(refused) == len(held) else ""

    def _as(self, sort: Sort, name: str) -> str:
        if (sort, name) not in self.left_out:
            return ""
        return f"{sort} {name}" if name else "part without a material"


def ink_choice(held: Any) -> InkChoice:
    """Return which of what a stamp is drawn with is ink; ``held``: the stamp's properties."""
    return _choice_in(held.not_ink)


def with_choice(held: Any, sort: str, name: str, *, prints: bool) -> str:
    """Return what a stamp keeps of its choice once a material, layer or collection prints, or does no more."""
    kept = set(ink_choice(held).left_out) - {(sort, name)}
    return json.dumps(sorted(kept if prints else {*kept, (sort, name)}))


def look_at(looks: tuple[Look, ...], slot: int) -> Look:
    """Return what :meth:`InkChoice.of_slots` says of a slot; what names none that there is has no material."""
    return looks[slot if 0 <= slot < len(looks) - 1 else -1]


def layer_name(layer: Any) -> str:
    """Return the name of a layer of strokes; those of the older strokes go by their info."""
    return str(layer.info if hasattr(layer, "info") else layer.name)


def offered(sources: Iterable[Any]) -> dict[Sort, list[str]]:
    """Return the names of all that ink can be chosen by among the objects that a stamp is drawn with."""
    found: dict[Sort, dict[str, None]] = {"material": {}, "layer": {}, "collection": {}}
    for drawn in drawn_with(sources):
        names = [slot.material.name if slot.material is not None else PLAIN for slot in drawn.material_slots]
        found["material"].update(dict.fromkeys(names or [PLAIN]))
        if hasattr(drawn.data, "layers") and hasattr(drawn.data.layers, "active"):
            found["layer"].update(dict.fromkeys(layer_name(layer) for layer in drawn.data.layers))
        found["collection"].update(dict.fromkeys(each.name for each in drawn.users_collection))
    return {sort: list(names) for sort, names in found.items()}


def drawn_with(sources: Iterable[Any]) -> Iterable[Object]:
    """Yield the objects of sources, and those of the collections that they show."""
    for source in sources:
        if source.object is None:
            continue
        yield source.object
        if source.object.instance_collection is not None:
            yield from source.object.instance_collection.all_objects


@lru_cache(maxsize=64)
def _choice_in(stored: str) -> InkChoice:
    try:
        pairs = json.loads(stored or "[]")
        return InkChoice(frozenset((str(sort), str(name)) for sort, name in pairs))
    except (ValueError, TypeError):
        return InkChoice()
