"""Examination sheets as commands write them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..remedy import Answer


def check_sheet(path: Path, *, overwrite: bool) -> None:
    """Check, before any work, that a sheet can be written; raises :class:`~stampwright.errors.OutputError`."""
    from ..files.whole import check_new
    from ..output import check_form

    check_form(path)
    check_new(path, overwrite=overwrite)


def write_sheet(path: Path, answer: Answer, *, overwrite: bool) -> None:
    """Write the sheet of an answer in the form that its name asks for.

    Raises :class:`~stampwright.errors.OutputError` when it cannot be written.
    """
    from ..files.whole import write_file
    from ..output import examination_file

    write_file(path, examination_file(path, answer), overwrite=overwrite)


def beside(folder: Path) -> Path:
    """Return where the sheet of a stamp goes that was not made: beside the folder, which stays as it was.

    >>> beside(Path("out/my-stamp")).as_posix()
    'out/my-stamp-examination.html'
    """
    whole = folder.absolute()
    return (
        folder.parent / f"{whole.name}-examination.html"
        if folder.name
        else whole.parent / f"{whole.name}-examination.html"
    )
