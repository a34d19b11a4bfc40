"""Sets proven in colour: once all stamps of one are built and at rest, they are thrown on paper beside Blender."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import bpy
from bpy.app.handlers import persistent

from .. import loading
from ..building import benches
from ..job.inks import stamps_of_set
from ..live import following, scheduler
from ..live.tasks import LiveTask
from ..scene import stamps
from ..scene.views import redraw
from ..stampwright.errors import StampwrightError
from .pressing import POLL, REST

if TYPE_CHECKING:
    from bpy.types import Object


@dataclass
class KnownProof:
    """What is known of a set: its proof as it was made last, from which stamps, and what stood against it."""

    proof: Any = None
    proven_by: Any = None
    message: str = ""


class ProofTask(LiveTask):
    """One proof of a set."""

    failed = "The inks could not be proven"

    def __init__(self, members: list[Object]) -> None:
        made = {each.stampwright.plate.ink: benches.bench_of(each) for each in members}
        if any(bench.stamp is None for bench in made.values()):
            raise StampwrightError("The stamps of this set are not built yet: build them first")
        proving, order = loading.load("building.proving"), next(iter(made.values())).read_last
        self.proven_by = _proven_by(members)
        super().__init__(lambda tell: proving.prove(order, {name: each.stamp for name, each in made.items()}, tell))


_known: dict[str, KnownProof] = {}


def known_of(root: Object) -> KnownProof:
    """Return what is known of the proof of a stamp's set."""
    return _known.setdefault(root.stampwright.plate.belongs_to, KnownProof())


def proof_of(root: Object) -> Any:
    """Return the proof of a stamp's set as all of its stamps are now, or None."""
    known, members = known_of(root), stamps_of_set(root, bpy.context.scene)
    return known.proof if members and known.proven_by == _proven_by(members) else None


def prove_now(root: Object) -> Any:
    """Build what is not built of a set, prove it, show that, and return the proof; raises StampwrightError."""
    members = stamps_of_set(root, bpy.context.scene)
    if not members:
        raise StampwrightError("This stamp belongs to no set of inks: part its artwork into inks first")
    for each in members:
        following.build_now(each)
    _proofs.do_now(members[0], ProofTask(members))
    known = known_of(root)
    if known.message:
        raise StampwrightError(known.message)
    return known.proof


def follow(root: Object) -> None:
    """Prove the set of a stamp that has been shown, once all of its stamps are; those of one edit come one by one."""
    members = stamps_of_set(root, bpy.context.scene)
    if members and not bpy.app.background and proof_of(root) is None and _are_built(members):
        _proofs.mark(members[0].session_uid, REST)


def _are_built(members: list[Object]) -> bool:
    held = ((each.stampwright.built, benches.bench_of(each)) for each in members)
    return all(bench.stamp is not None and bench.shows == built for built, bench in held)


def _proven_by(members: list[Object]) -> tuple[Any, ...]:
    return tuple((each.stampwright.plate.ink, benches.bench_of(each).fingerprint) for each in members)


def _take_up(root: Object) -> None:
    members = stamps_of_set(root, bpy.context.scene)
    if members and _are_built(members):
        _proofs.put(root.session_uid, ProofTask(members))


def _take_in(root: Object, work: ProofTask) -> None:
    """Keep what came of a proof, and show it."""
    known = known_of(root)
    try:
        known.proof, known.message = work.result(), ""
    except StampwrightError as error:
        known.proof, known.message = None, str(error)
    known.proven_by = work.proven_by
    if known.proof is not None and stamps.is_ours(root):
        _show(root, known.proof)
    redraw()


def _show(root: Object, proof: Any) -> None:
    register, picture = loading.load("scene.register"), loading.load("stampwright.sets.picture")
    place = register.place_of(proof.made, proof.shape, picture.MARGIN, picture.DPI)
    register.show_in_colour(root, proof.picture, place, bpy.context.scene)
    register.image_in(f"{root.name} worst miss", proof.worst)


_proofs = scheduler.Queue(
    begin=_take_up,
    attend=lambda _root, _work: None,
    finish=_take_in,
    may_begin=lambda number: following.work_at(number) is None,
    poll=POLL,
)
"""The proofs of sets, by the stamps that are printed first: due, and under way."""


@persistent
def _opened(*_about: object) -> None:
    _proofs.clear()
    _known.clear()


def register() -> None:
    """Follow the stamps that are shown."""
    scheduler.serve(_proofs)
    following.after_showing.append(follow)
    bpy.app.handlers.load_pre.append(_opened)


def unregister() -> None:
    """Follow no more, and stop what is under way."""
    following.after_showing.remove(follow)
    bpy.app.handlers.load_pre.remove(_opened)
    scheduler.leave(_proofs)
    _opened()
