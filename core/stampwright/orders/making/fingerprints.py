"""Fingerprints: of a job with all its files and fonts and of the program, by which the same stamp is known again."""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

from ...artwork.fonts import fonts_named_in, fonts_standing_in
from ...artwork.limits import Limits
from ...artwork.made import pieces_in_file
from ...artwork.svg.source.unpacking import unpacked
from ...errors import ArtworkError
from ...files.whole import digest_at
from ...job import Job
from ...job.pieces import Piece, Typeset, files_in
from ...job.written.files import job_as_data, with_named
from ...memory import Fingerprint, fingerprint

_LIBRARIES = ("numpy", "shapely", "manifold3d", "uharfbuzz", "pillow", "contourpy", "segno", "reportlab")
"""What the bytes of a stamp come from beside this program."""

_OURS = (".py", ".toml", ".json", ".ttf", ".otf")

_OWN_TYPE, _DRAWN_TYPE = "sans-serif", "serif"
"""Families that pieces and drawings take where they name none."""

_WIDE = (b"\xff\xfe", b"\xfe\xff")  # how a text begins whose letters have two bytes


def stamp_fingerprint(job: Job, *extra: str) -> str:
    """Return the SHA-256 of all that a stamp is made from: job, files that it names, fonts, and program.

    ``extra``: what else changes the folder. The folders of the files do not count, so that an order may be moved.
    """
    data = job_as_data(with_named(job, lambda name: Path(name).name))
    digests = [_digest(fingerprint(path)) for path in sources_of(job)]
    told = json.dumps([data, digests, program_fingerprint(), *extra], sort_keys=True)
    return hashlib.sha256(told.encode("utf-8", "surrogatepass")).hexdigest()


def sources_of(job: Job) -> tuple[Path, ...]:
    """Return all files that a stamp is made from: those that its job names, those that these name, and fonts.

    Fonts are those at hand that its words may ask for by a name, or that stand in where these lack a letter. A file may
    be one that cannot be read.
    """
    named: list[str] = []

    def keep(name: str) -> str:
        named.append(name)
        return name

    with_named(job, keep)
    pieces = job.pieces
    if Path(job.artwork).suffix.lower() in (".toml", ".json"):
        inside = _pieces_in(fingerprint(job.artwork))
        pieces = (*pieces, *inside)
        named += [str(Path(job.artwork).parent / name) for name in files_in(inside)]
    asked = [piece.font or _OWN_TYPE for piece in pieces if isinstance(piece, Typeset) and not piece.font_file]
    drawn = list(filter(None, (_type_asked_in(fingerprint(name)) for name in named)))
    fonts = [path for text in dict.fromkeys((*asked, *drawn)) if text for path in fonts_named_in(text)]
    fonts += [path for text in dict.fromkeys(drawn) for path in fonts_standing_in(text)]
    return (*map(Path, named), *dict.fromkeys(fonts))


@lru_cache(maxsize=1)
def program_fingerprint() -> str:
    """Return the SHA-256 of this program's own files and of the versions of the libraries that it computes with."""
    home = Path(__file__).resolve().parents[2]
    digest = hashlib.sha256()
    for path in sorted(path for path in home.rglob("*") if path.suffix in _OURS):
        digest.update(path.relative_to(home).as_posix().encode())
        digest.update(path.read_bytes())
    for name in _LIBRARIES:
        digest.update(f"{name} {_version(name)}".encode())
    return digest.hexdigest()


def _version(name: str) -> str:
    try:
        return version(name)
    except ModuleNotFoundError:
        return "none"


@lru_cache(maxsize=4096)
def _digest(file: Fingerprint) -> str:
    """Return the digest of a file as it was when it was looked at."""
    return digest_at(file.path)


@lru_cache(maxsize=64)
def _pieces_in(file: Fingerprint) -> tuple[Piece, ...]:
    """Return the pieces of a file as it was when it was looked at; none of one that cannot be read."""
    try:
        return pieces_in_file(file.path)
    except ArtworkError:
        return ()


@lru_cache(maxsize=64)
def _type_asked_in(file: Fingerprint) -> str:
    """Return the text of a drawing that has words in it, which name their type somewhere; empty for other files."""
    try:
        data = unpacked(Path(file.path).read_bytes(), Limits())
    except (OSError, ValueError, ArtworkError):
        return ""
    text = data.decode("utf-16" if data.startswith(_WIDE) else "utf-8", "replace")
    return f"{text}, {_DRAWN_TYPE}" if "svg" in text and "text" in text else ""
