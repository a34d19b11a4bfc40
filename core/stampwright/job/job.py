"""The job: every setting of one stamp, with its default, unit, limits and reason.

A :class:`Job` is a tree of frozen dataclasses, one a section. Each setting carries its own
:class:`~stampwright.job.settings.Setting`, from which validation, the command line's ``--set``, the ticket and any user
interface take limits, units and explanations. Reading and writing job files is in :mod:`stampwright.job.written.files`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, fields, replace
from typing import Any

from ..errors import JobError
from .bent import check_bend, laid_on
from .checks import check_together, unknown_setting
from .inks import Ink, as_inks
from .made_from import Measured, as_artwork, as_made_from, as_measured
from .pieces import Piece, as_pieces
from .sections.bending import BendSection
from .sections.face import FaceSection
from .sections.parts import BackingSection, CushionSection, DieSection, HandleSection
from .sections.placing import BaseSection, LayoutSection
from .sections.preflight import PreflightSection
from .sections.pressing import InkSection, PressSection
from .sections.printing import CURRENCY, PriceSection, PrinterSection
from .sections.register import RegisterSection
from .sections.tracing import TracingSection
from .settings import Setting, checked, setting
from .written.old_names import current_settings

BESIDE: dict[str, Callable[[Any], Any]] = {
    "pieces": as_pieces,
    "inks": as_inks,
    "artwork": as_artwork,
    "made_from": as_made_from,
    "measured": as_measured,
}
"""What a job holds beside its settings, and what checks it."""


@dataclass(frozen=True, kw_only=True)
class Job:
    """The whole specification of one stamp, as saved.

    ``pieces``: what its artwork is made of, or ``artwork``: the file that it is read from; neither where it is given
    beside the job. ``inks``: one for each die, where the picture is printed in several. ``made_from``: files and their
    SHA-256, as they were when the stamp was made of them. ``measured``: what was measured of its settings; one that was
    changed since is assumed again.

    >>> Job().die.relief
    2.0
    >>> Job().with_value("die.relief", 1.6).die.relief
    1.6
    """

    name: str = setting("stamp", "Name of the stamp, on the ticket and in the files")
    layout: LayoutSection = field(default_factory=LayoutSection)
    base: BaseSection = field(default_factory=BaseSection)
    printer: PrinterSection = field(default_factory=PrinterSection)
    preflight: PreflightSection = field(default_factory=PreflightSection)
    ink: InkSection = field(default_factory=InkSection)
    press: PressSection = field(default_factory=PressSection)
    die: DieSection = field(default_factory=DieSection)
    bend: BendSection = field(default_factory=BendSection)
    face: FaceSection = field(default_factory=FaceSection)
    backing: BackingSection = field(default_factory=BackingSection)
    cushion: CushionSection = field(default_factory=CushionSection)
    handle: HandleSection = field(default_factory=HandleSection)
    price: PriceSection = field(default_factory=PriceSection)
    tracing: TracingSection = field(default_factory=TracingSection)
    register: RegisterSection = field(default_factory=RegisterSection)
    pieces: tuple[Piece, ...] = ()
    inks: tuple[Ink, ...] = ()
    artwork: str = ""
    made_from: tuple[tuple[str, str], ...] = ()
    measured: tuple[Measured, ...] = ()

    def __post_init__(self) -> None:
        """Check all of it together, the sections having checked themselves; raises :class:`JobError`."""
        for each in fields(self):
            value = getattr(self, each.name)
            if "setting" in each.metadata:
                object.__setattr__(self, each.name, checked(each.name, value, each.metadata["setting"]))
            elif each.name in BESIDE:
                object.__setattr__(self, each.name, BESIDE[each.name](value))
            else:
                section: Any = each.default_factory
                if not isinstance(value, section):
                    raise JobError(
                        f"{each.name} takes a {section.__name__}, not {type(value).__name__}; to change single "
                        f"settings, use Job().with_value('{each.name}...', ...)"
                    )
        check_together(self.base, self.preflight, self.backing, self.handle)
        check_bend(self.bend, self.die, self.backing, self.cushion, self.handle)
        if self.bend.form != "flat" and len(self.inks) > 1:
            raise JobError("several inks take flat faces, which a gauge holds in register: set bend.form to flat")
        if self.pieces and self.artwork:
            raise JobError(f"the job has pieces and names artwork, {self.artwork}: leave one of them out")

    @property
    def laid_on(self) -> BaseSection:
        """The base that the artwork is laid out on: the job's own, or one repeat of a roller."""
        return laid_on(self.base, self.bend)

    def with_values(self, values: dict[str, Any]) -> Job:
        """Return the job with some settings changed; keys are written ``section.setting`` (or ``name``).

        Names that settings had in older formats are understood.

        All are replaced before the check, so settings that depend on each other can change together. Raises
        :class:`JobError` when a setting is unknown (the message names the nearest ones) or a value is not allowed.
        """
        values = current_settings(values)
        changed: dict[str, dict[str, Any]] = {}
        outermost: dict[str, Any] = {}
        known = {path for path, _, _ in job_settings(self)}
        for path, value in values.items():
            if path not in known:
                raise unknown_setting(path, known)
            section, _, name = path.partition(".")
            if name:
                changed.setdefault(section, {})[name] = value
            else:
                outermost[section] = value
        for section, part in changed.items():
            outermost[section] = replace(getattr(self, section), **part)
        return replace(self, **outermost)

    def with_value(self, path: str, value: Any) -> Job:
        """Return the job with one setting changed; see :meth:`with_values`."""
        return self.with_values({path: value})


def job_settings(job: Job) -> Iterator[tuple[str, Any, Setting]]:
    """Yield (path, value, setting) for every setting of the job, in the order of the job; what it is made of is none.

    Prices are in the job's own currency.

    >>> [path for path, _, _ in job_settings(Job())][:2]
    ['name', 'layout.size_by']
    """
    for outer in fields(job):
        value = getattr(job, outer.name)
        if "setting" in outer.metadata:
            yield outer.name, value, outer.metadata["setting"]
            continue
        if outer.name in BESIDE:
            continue
        for inner in fields(value):
            about: Setting = inner.metadata["setting"]
            if CURRENCY in about.unit:
                about = replace(about, unit=about.unit.replace(CURRENCY, job.price.currency))
            yield f"{outer.name}.{inner.name}", getattr(value, inner.name), about
