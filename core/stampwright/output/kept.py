"""What travels with a stamp: copies of the files that it was made from, so that its folder makes it again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path, PurePath
from typing import Any

from ..artwork.sources import SourceFile, Sources
from ..errors import AlreadyThereError, JobError
from ..files.whole import digest_at
from ..job import Job
from ..job.pieces import FILE_SETTINGS, with_files
from ..job.written.files import read_job
from ..job.written.tables import as_toml, parse_table


@dataclass(frozen=True)
class Kept:
    """Files for a stamp's folder, by name, and the job with them as its artwork, pieces and face."""

    files: Mapping[str, bytes]
    job: Job


def keep_sources(
    job: Job, sources: Sources, folder: Path, taken: Iterable[str], made: Mapping[str, bytes] | None = None
) -> Kept:
    """Return the files that a stamp is made from as its folder holds them.

    Each comes under its own name, or nearly so where that is ``taken``; a pieces file names its marks and fonts by
    their names in the folder. ``made``: files of the face that are written anew, by name.
    """
    names = _Names(taken)
    named = {file.name: names.give(file) for file in sources.named}
    files = {new: file.data for file in sources.named for new in (named[file.name],)}

    def change(name: str) -> str:
        return str(folder / named[name]) if name in named else name

    job = replace(job, pieces=with_files(job.pieces, change), artwork="")
    if sources.file is not None:
        own = names.give(sources.file)
        files[own] = _naming(sources.file, named)
        job = replace(job, pieces=(), artwork=str(folder / own))
    made_from = {name: hashlib.sha256(data).hexdigest() for name, data in {**files, **(made or {})}.items()}
    return Kept(files, replace(job, made_from=tuple((str(folder / name), found) for name, found in made_from.items())))


def still_to_write(kept: Mapping[str, bytes], folder: Path) -> dict[str, bytes]:
    """Return the files that are not in the folder yet, just as they are.

    Raises :class:`~stampwright.errors.AlreadyThereError` where another file has a name of theirs that no stamp brought:
    it may be the only one of its kind, so not even overwriting replaces it.
    """
    wanted = {name: data for name, data in kept.items() if digest_at(folder / name) != _digest(data)}
    there = [name for name in wanted if (folder / name).is_file()]
    brought = brought_before(folder) if there else {}
    for name in there:
        if brought.get(name) != digest_at(folder / name):
            raise AlreadyThereError(
                f"{folder}: holds another {name}, not brought there by a stamp; move it, or name another folder"
            )
    return wanted


def brought_before(folder: Path) -> dict[str, str]:
    """Return what the stamp that is in a folder brought along: SHA-256 by name; nothing where there is none."""
    try:
        job = read_job(folder / "job.json")
    except JobError:
        return {}
    return {Path(name).name: found for name, found in job.made_from}


def left_over(folder: Path, possible: Iterable[str], names: Collection[str]) -> tuple[str, ...]:
    """Return which of the files that a stamp may have brought are in a folder, though not among ``names``."""
    return tuple(name for name in dict.fromkeys(possible) if name not in names and (folder / name).exists())


class _Names:
    """Gives names out, each once, small and capital letters being the same."""

    def __init__(self, taken: Iterable[str]) -> None:
        self._taken = {name.casefold() for name in taken}
        self._given: dict[tuple[str, str], str] = {}

    def give(self, file: SourceFile) -> str:
        """Return the name of a file: the same for the same contents under the same name."""
        own = file.own_name
        before = self._given.get((own, file.sha256))
        if before is not None:
            return before
        path, name, number = PurePath(own), own, 1
        while name.casefold() in self._taken:
            number += 1
            name = f"{path.stem}-{number}{path.suffix}"
        self._taken.add(name.casefold())
        self._given[own, file.sha256] = name
        return name


def _naming(file: SourceFile, named: Mapping[str, str]) -> bytes:
    """Return a file as it is, or a pieces file written anew where it names files that have other names now."""
    if all(name == new for name, new in named.items()):
        return file.data
    path = Path(file.name)
    table: dict[str, Any] = parse_table(file.data, path, "a pieces file")
    for piece in table["pieces"]:
        for setting, value in piece.items():
            if isinstance(value, str) and setting in FILE_SETTINGS:
                piece[setting] = named.get(value, value)
    if path.suffix.lower() == ".toml":
        return _as_toml(table).encode("utf-8")
    return (json.dumps(table, indent=2, ensure_ascii=False) + "\n").encode("utf-8")


def _as_toml(table: Mapping[str, Any]) -> str:
    lines = [f"{name} = {as_toml(value)}" for name, value in table.items() if name != "pieces"]
    for piece in table["pieces"]:
        lines += ["", "[[pieces]]", *(f"{name} = {as_toml(value)}" for name, value in piece.items())]
    return "\n".join(lines) + "\n"


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
