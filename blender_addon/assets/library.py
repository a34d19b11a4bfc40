"""The asset library's files: what comes with the extension, the list of catalogues, and handles of the artist's own."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy

from ..export.naming import as_file_name
from ..scene.passing import only_for_a_while
from ..stampwright.errors import OutputError, reason_of
from ..stampwright.files import StagedFolder
from .entry import place
from .shelf import CATALOGUES, add_assets

if TYPE_CHECKING:
    from bpy.types import Context

FILE, LIST = "stampwright.blend", "blender_assets.cats.txt"
"""The file of what comes with the extension, and the host's list of catalogues."""


def write_library(context: Context) -> Path:
    """Write what comes with the extension, with its catalogues, and return the folder; handles kept there stay.

    Raises :class:`OutputError` when it cannot be written.
    """
    folder = place()
    # A library is no reason for assets in this file.
    with only_for_a_while():
        content = _as_file(add_assets(context))
    rows = "".join(f"{number}:{kind}:{kind}\n" for kind, number in CATALOGUES.items())
    with StagedFolder(folder, (FILE, LIST), overwrite=True) as staged:
        staged.write(FILE, content)
        staged.write(LIST, f"# Catalogues of Stampwright's assets.\n\nVERSION 1\n\n{rows}".encode())
    return folder


def own_file(name: str) -> Path:
    """Return the file of the library that an asset of the artist's own goes to."""
    return place() / f"own {as_file_name(name)}.blend"


def write_own(asset: Any, *, overwrite: bool) -> Path:
    """Write an asset of the artist's own into the library; raises :class:`OutputError` when it cannot be."""
    path = own_file(asset.name)
    content = _as_file([asset])
    with StagedFolder(path.parent, (path.name,), overwrite=overwrite) as staged:
        staged.write(path.name, content)
    return path


def _as_file(assets: Sequence[Any]) -> bytes:
    with tempfile.TemporaryDirectory(prefix="stampwright-") as folder:
        path = Path(folder) / FILE
        try:
            bpy.data.libraries.write(str(path), set(assets), fake_user=True, compress=True)
            return path.read_bytes()
        except (OSError, RuntimeError) as error:
            why = reason_of(error) if isinstance(error, OSError) else " ".join(str(error).split())
            raise OutputError(f"the asset library could not be written ({why})") from error
