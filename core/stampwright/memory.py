"""What each stage made from what, so that making a stamp again costs only what has changed."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, fields, is_dataclass
from pathlib import Path
from types import MethodType
from typing import Any, ParamSpec, TypeVar

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

Given = ParamSpec("Given")
Result = TypeVar("Result")

Progress = Callable[[str, float], None]
"""Told the step that begins and the share of all the work done, 0 to 1; it may raise ``Cancelled`` to stop it."""

Share = Callable[[float], None]
"""Told the share of one step's work done, 0 to 1; it may raise ``Cancelled`` to stop it."""

NOT_COMPARED = frozenset({"progress", "memory"})
"""Arguments by these names change nothing in what a stage makes: they say how far it is and spare it work."""

_JUST_NOW = 2.0
"""A file changed less than this many seconds ago may change again within one tick of its file system's clock."""


class Memory:
    """The last result of each stage, with the arguments that it was made from.

    A stage is a function of a module whose result follows from its arguments alone, so equal arguments give the same
    result: ``recall`` then hands the former one back, the very object. Nothing is listed beside the call: a stage can
    read only what it is given, and all that it is given is compared. See :func:`as_known` for how.

    >>> import math
    >>> memory = Memory()
    >>> memory.recall(math.dist, [0.0, 0.0], [3.0, 4.0])
    5.0
    """

    def __init__(self) -> None:
        self._kept: dict[str, tuple[Any, Any]] = {}
        self._place = ""

    def recall(self, stage: Callable[Given, Result], *args: Given.args, **kwargs: Given.kwargs) -> Result:
        """Return what a stage makes of these arguments, without calling it when it made that last.

        Raises :class:`TypeError` when the stage is no function of a module: one made inside another, or bound to an
        object, could read what is not compared. Whatever the stage raises is raised, and not kept.
        """
        name = self._place + _name_of(stage)
        compared = {word: value for word, value in kwargs.items() if word not in NOT_COMPARED}
        given = as_known((args, compared))
        kept = self._kept.get(name)
        if kept is not None and kept[0] == given:
            former: Result = kept[1]
            return former
        result = stage(*args, **kwargs)
        self._kept[name] = (given, result)
        return result

    def beside(self, place: str) -> Memory:
        """Return a part of this memory with its own last results, for a stage that is run on several things in turn."""
        part = Memory()
        part._kept, part._place = self._kept, f"{self._place}{place}: "
        return part

    def copy(self) -> Memory:
        """Return a memory of the same, to go on from beside a build that still uses this one."""
        twin = Memory()
        twin._kept, twin._place = dict(self._kept), self._place
        return twin

    def last(self, stage: Callable[..., Result]) -> Result | None:
        """Return what the stage made last, or None."""
        kept = self._kept.get(self._place + _name_of(stage))
        return None if kept is None else kept[1]


@dataclass(frozen=True)
class Fingerprint:
    """A file as it was when it was looked at; another one says that its contents may be others.

    ``state``: size, times of change and number by its file system, empty when there is no such file. ``digest``: of
    its contents, where it had only just been changed and the times may not tell the next change.
    """

    path: str
    state: tuple[int, ...] = ()
    digest: str = ""


def fingerprint(path: str | Path) -> Fingerprint:
    """Return the fingerprint of a file; it need not exist."""
    try:
        found = Path(path).stat()
        state = (found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_ino)
        digest = ""
        if time.time() - found.st_mtime < _JUST_NOW:
            with Path(path).open("rb") as stream:
                digest = hashlib.file_digest(stream, "blake2b").hexdigest()
    # ValueError: a path that no file can have, with a null character in it.
    except (OSError, ValueError):
        return Fingerprint(str(path))
    return Fingerprint(str(path), state, digest)


def as_known(value: Any) -> Any:
    """Return what an argument is compared by: ``==`` of two of them says whether the arguments are the same.

    Figures and words are the same when they are of one type and equal, regions point by point, arrays by a digest of
    all their elements, as they are now; collections, and dataclasses that compare by value, by what they hold.
    Everything else, such as a solid, is the same only as itself.
    """
    kind = type(value)
    if kind in _PLAIN:
        return kind, value
    if kind not in _NAMES:
        _NAMES[kind] = _compared_by(kind)
    names = _NAMES[kind]
    if names is not None:
        return kind, tuple([as_known(getattr(value, name)) for name in names])
    if isinstance(value, bool | int | float | str | bytes):
        # 1 == 1.0 == True, but a stage may tell them apart; so may it 0.0 and -0.0, as repr does.
        return kind, repr(value) if isinstance(value, float) else value
    if isinstance(value, list | tuple | dict):
        return kind, tuple(as_known(each) for each in (value.items() if isinstance(value, dict) else value))
    if isinstance(value, np.ndarray) and not value.dtype.hasobject:
        elements = hashlib.blake2b(np.ascontiguousarray(value).data, digest_size=16).digest() if value.size else b""
        return np.ndarray, value.shape, value.dtype.str, elements
    return _Region(value) if isinstance(value, BaseGeometry) else _Itself(value)


_PLAIN = frozenset((type(None), bool, int, str, bytes))
"""Types whose values are the same when these are and they are equal."""


_NAMES: dict[type[Any], tuple[str, ...] | None] = {}
"""What :func:`_compared_by` has said of each type, which takes it long."""


def _compared_by(kind: type[Any]) -> tuple[str, ...] | None:
    """Return the names of the fields by which values of a dataclass compare; None where they do not."""
    if is_dataclass(kind) and kind.__eq__ is not object.__eq__:
        return tuple(each.name for each in fields(kind))
    return None


@dataclass(frozen=True, eq=False)
class _Region:
    region: BaseGeometry

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, _Region):
            return NotImplemented
        return self.region is other.region or bool(shapely.equals_identical(self.region, other.region))

    __hash__ = None  # type: ignore[assignment]


@dataclass(frozen=True, eq=False)
class _Itself:
    thing: Any

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Itself) and self.thing is other.thing

    __hash__ = None  # type: ignore[assignment]


def _name_of(stage: Callable[..., Any]) -> str:
    name = getattr(stage, "__qualname__", "<nameless>")
    if "<" in name or isinstance(stage, MethodType):
        raise TypeError(f"{name} is no stage: it must be a function of a module, which sees nothing but its arguments")
    return f"{stage.__module__}.{name}"


@dataclass(frozen=True)
class Steps:
    """The steps of some work, told as they begin within a part of the whole, with the seconds that each took."""

    progress: Progress | None = None
    since: float = 0.0
    until: float = 1.0
    seconds: dict[str, float] = field(default_factory=dict)

    def tell(self, step: str, share: float) -> None:
        """Tell that a step begins when a share of this part is done, 0 to 1."""
        if self.progress is not None:
            self.progress(step, self.since + share * (self.until - self.since))

    @contextmanager
    def timing(self, step: str, share: float) -> Iterator[None]:
        """Tell of a step and keep the seconds that the block takes."""
        self.tell(step, share)
        start = time.perf_counter()
        yield
        self.seconds[step] = time.perf_counter() - start
