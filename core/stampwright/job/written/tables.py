"""Plain tables in files: JSON and TOML, as jobs and pieces are kept in."""

from __future__ import annotations

import json
import tomllib
from os import PathLike
from pathlib import Path
from typing import Any

from ...errors import JobError, reason_of

LARGEST_TABLE = 4_000_000
"""Bytes; a larger file holds no job and no pieces."""


def as_path(path: str | PathLike[str], what: str) -> Path:
    """Return the path of a file; raises :class:`JobError`, saying ``what`` was to be named, when it is no path."""
    if not isinstance(path, str | PathLike):
        raise JobError(f"{what} is named by a path, not by {type(path).__name__}")
    return Path(path)


def read_table(path: Path, what: str) -> Any:
    """Return the plain data in a file, TOML as its name ends, otherwise JSON.

    ``what`` it should be goes into messages. Raises :class:`JobError`, without the path, when it cannot be read or is
    neither.
    """
    return parse_table(read_bytes(path, what), path, what)


def read_bytes(path: Path, what: str) -> bytes:
    """Return the bytes of a small file; raises :class:`JobError`, without the path, when it cannot be read."""
    try:
        if path.stat().st_size > LARGEST_TABLE:
            raise JobError(f"larger than {LARGEST_TABLE:,} bytes; this is not {what}")
        return path.read_bytes()
    # ValueError: a path with a character that no path has.
    except (OSError, ValueError) as error:
        raise JobError(f"cannot be read ({reason_of(error)}); check the name") from error


def parse_table(data: bytes, path: Path, what: str) -> Any:
    """Return the plain data in a file's bytes, TOML as the name of ``path`` ends; raises as :func:`read_table` does."""
    try:
        # Some editors begin text with a mark of its encoding, which neither form has.
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise JobError(f"not a text file; {what} is JSON or TOML in UTF-8") from error
    return parse_toml(text) if path.suffix.lower() == ".toml" else parse_json(text)


def parse_json(text: str) -> Any:
    """Return what JSON text holds; raises :class:`JobError`."""
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        raise JobError(f"not valid JSON ({error})") from error


def parse_toml(text: str) -> Any:
    """Return what TOML text holds; raises :class:`JobError`."""
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise JobError(f"not valid TOML ({error})") from error


def as_toml(value: Any) -> str:
    """Return a scalar or list as TOML writes it."""
    # JSON is TOML too, but for pairs of surrogates, which its ASCII form writes, and for one control character.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
