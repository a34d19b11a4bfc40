"""Files read whole and written whole: under temporary names first, then renamed, so that none is ever half there."""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType

from ..errors import AlreadyThereError, MeshFileError, OutputError, reason_of

LARGEST_MESH = 1_000_000_000
"""Bytes; a mesh file larger than this (twenty million triangles) is refused."""


def read_file(path: Path) -> bytes:
    """Return what is in a mesh file; raises :class:`MeshFileError` when it is missing, no file, or too large."""
    try:
        if not path.is_file():
            reason = "is a folder" if path.is_dir() else "is no file" if path.exists() else "does not exist"
            raise MeshFileError(f"{path}: {reason}; name an STL or 3MF file")
        if path.stat().st_size > LARGEST_MESH:
            raise MeshFileError(f"{path}: larger than {LARGEST_MESH // 1_000_000} MB; export it with fewer triangles")
        return path.read_bytes()
    except (OSError, ValueError) as error:
        raise MeshFileError(
            f"{path}: cannot be read ({reason_of(error)}); check the name and who may read it"
        ) from error


def digest_at(path: str | os.PathLike[str]) -> str:
    """Return the SHA-256 of a file's bytes, in hexadecimal (FIPS 180-4); empty when it cannot be read."""
    try:
        with Path(path).open("rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    # ValueError: a path with a character that no path has.
    except (OSError, ValueError):
        return ""


def write_file(path: str | os.PathLike[str], content: bytes, *, overwrite: bool = False) -> None:
    """Write one file whole or not at all.

    Raises :class:`AlreadyThereError` when it is there already (unless ``overwrite``), :class:`OutputError` when it
    cannot be written.
    """
    path = Path(path)
    check_new(path, overwrite=overwrite)
    with StagedFolder(path.parent, [path.name], overwrite=overwrite) as staged:
        staged.write(path.name, content)


def check_new(path: Path, *, overwrite: bool) -> None:
    """Check, before any work, that a file may be written.

    Raises :class:`OutputError` when not, :class:`AlreadyThereError` when there is one already.
    """
    check_clear(path.parent, [path.name], overwrite=True)
    if not overwrite and os.path.lexists(path):
        raise AlreadyThereError(f"{path}: is there already; allow overwriting or name another file")


def check_clear(folder: Path, names: Iterable[str], *, overwrite: bool) -> None:
    """Check that files may come into a folder; raises :class:`OutputError`, naming the first that must not."""
    with _explained(folder):
        if folder.exists() and not folder.is_dir():
            raise OutputError(f"{folder}: is a file, not a folder; name another folder")
        there = [name for name in names if os.path.lexists(folder / name)]
        folders = [name for name in there if (folder / name).is_dir()]
    if folders:
        raise OutputError(f"{folder / folders[0]}: is a folder where a file should go; move it or write elsewhere")
    if there and not overwrite:
        shown = ", ".join(there[:3]) + (f" and {len(there) - 3} more" if len(there) > 3 else "")
        raise AlreadyThereError(f"{folder}: holds {shown} already; allow overwriting or name another folder")


class StagedFolder:
    """A set of files that comes into a folder, and folders inside it, together or not at all.

    Entering checks, before any work, that none of ``names`` is there already (unless ``overwrite``) and that the folder
    can be written; files are then written to a hidden folder inside it. Leaving moves them all into place; leaving by
    an error, whatever it is, removes them and puts back what was there before. Raises :class:`OutputError`.
    """

    def __init__(self, folder: str | Path, names: Sequence[str], *, overwrite: bool = False) -> None:
        self.folder = Path(folder)
        self.names = tuple(names)
        self.overwrite = overwrite
        self._made: list[Path] = []
        self._hidden: Path | None = None
        self._written: list[str] = []

    def __enter__(self) -> StagedFolder:
        check_clear(self.folder, self.names, overwrite=self.overwrite)
        with _explained(self.folder):
            try:
                self._made = _make_folders(self.folder)
                self._hidden = Path(tempfile.mkdtemp(prefix=".unfinished-", dir=self.folder))
            except BaseException:
                self._remove()
                raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        try:
            if error is None:
                with _explained(self.folder):
                    self._move_into_place()
                self._made = []
        finally:
            self._remove()

    def write(self, name: str, content: bytes | str) -> Path:
        """Write one file, down to the disk, under its name in the hidden folder and return where it is till then.

        Raises :class:`OutputError` when it cannot be written.
        """
        path = self.path(name)
        with _explained(self.folder / name):
            path.parent.mkdir(parents=True, exist_ok=True)
        with _explained(self.folder / name), path.open("wb") as file:
            file.write(content.encode("utf-8") if isinstance(content, str) else content)
            file.flush()
            os.fsync(file.fileno())
        self._written.append(name)
        return path

    @property
    def written(self) -> tuple[str, ...]:
        """The names of all files that come along."""
        return tuple(self._written)

    def adopt(self, name: str) -> None:
        """Let a file come along that something else has written in the hidden folder, at :meth:`path`."""
        self._written.append(name)

    def path(self, name: str) -> Path:
        """Return where a file is until it is moved into place.

        Raises :class:`OutputError` when the folder is not open for writing.
        """
        if self._hidden is None:
            raise OutputError(f"{self.folder}: not open for writing")
        return self._hidden / name

    def _move_into_place(self) -> None:
        """Rename all files into the folder, keeping those that they replace until the last one has gone well."""
        check_clear(self.folder, self._written, overwrite=self.overwrite)
        replaced: list[tuple[Path, Path]] = []
        placed: list[Path] = []
        try:
            for name in self._written:
                target = self.folder / name
                if os.path.lexists(target):
                    kept = self.path(name + ".before")
                    os.replace(target, kept)
                    replaced.append((kept, target))
                self._made += _make_folders(target.parent)
                os.replace(self.path(name), target)
                placed.append(target)
        except BaseException:
            for target in placed:
                target.unlink(missing_ok=True)
            for kept, target in replaced:
                os.replace(kept, target)
            raise
        for folder in dict.fromkeys([self.folder, *(target.parent for target in placed)]):
            _sync_folder(folder)

    def _remove(self) -> None:
        if self._hidden is not None:
            shutil.rmtree(self._hidden, ignore_errors=True)
            self._hidden = None
        for folder in reversed(self._made):
            try:
                folder.rmdir()
            except OSError:
                break  # somebody else put something there meanwhile; it is theirs
        self._made = []


@contextmanager
def _explained(path: Path) -> Iterator[None]:
    """Turn the system's refusals into one clear line."""
    try:
        yield
    except (OSError, ValueError) as error:
        full = isinstance(error, OSError) and error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
        advice = "make room or write elsewhere" if full else "name a folder that you may write to"
        raise OutputError(f"{path}: cannot be written ({reason_of(error)}); {advice}") from error


def _make_folders(folder: Path) -> list[Path]:
    """Make a folder and those above it that are missing; return the new ones, outermost first."""
    missing = []
    while not folder.exists():
        missing.append(folder)
        folder = folder.parent
    missing.reverse()
    made: list[Path] = []
    try:
        for each in missing:
            each.mkdir()
            made.append(each)
    except BaseException:
        for each in reversed(made):
            each.rmdir()
        raise
    return made


def _sync_folder(folder: Path) -> None:
    """Bring the renames themselves down to the disk, where the system lets a folder be opened for that."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP, errno.EBADF):  # file systems that cannot
            raise
    finally:
        os.close(handle)
