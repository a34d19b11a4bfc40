"""Where an order is kept: a folder of this machine, or any place that fsspec reaches, such as a bucket."""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Protocol
from uuid import uuid4

from ...errors import OrderError, OutputError, reason_of
from ...files import write_file
from ...files.whole import digest_at
from .record import FILE, Record, record_bytes, record_from

STAMPS, UNFINISHED = "stamps", ".unfinished"
"""Folders of an order: one a stamp, and what is being made."""

BEFORE = ".before"
"""How the name of a stamp's former folder ends while another takes its place; names of stamps have no dot."""

LIBRARY = "fsspec"


class Store(Protocol):
    """What making asks of the place where an order is kept; names are of files in it, with / between folders."""

    address: str

    def read(self, name: str) -> bytes | None:
        """Return what is in a file, None when there is none."""

    def write(self, name: str, content: bytes) -> None:
        """Write a file whole or not at all; the same content again changes nothing."""

    def remove(self, name: str) -> None:
        """Remove a file, if it is there."""

    def names(self, folder: str) -> list[str]:
        """Return what is in a folder, by name."""

    def digest(self, name: str) -> str:
        """Return the SHA-256 of a file, empty when there is none."""

    def staged(self, token: str) -> Any:
        """Enter an empty folder of this machine to write a stamp into; it is gone after that."""

    def commit(self, folder: Path, stamp: str) -> None:
        """Put a folder in the place of a stamp's, whole or not at all."""

    def clear_unfinished(self) -> None:
        """Remove what runs that were killed have left."""


def open_store(address: str) -> Store:
    """Return the place of an address: a folder, or what fsspec knows by a scheme such as ``s3://``.

    Raises :class:`~stampwright.errors.OrderError` when that takes a library which is not installed.
    """
    return RemoteStore(address) if "://" in address else LocalStore(Path(address))


def record_at(store: Store, stamp: str) -> Record | None:
    """Return the record of a stamp's folder, None when there is none."""
    return record_from(store.read(f"{STAMPS}/{stamp}/{FILE}"))


def whole_at(store: Store, stamp: str, record: Record) -> bool:
    """Whether all files of a record are in a stamp's folder, byte for byte."""
    return all(store.digest(f"{STAMPS}/{stamp}/{name}") == digest for name, digest in record.files.items())


def commit_record(store: Store, stamp: str, record: Record, token: str) -> None:
    """Put a folder with nothing but a record in the place of a stamp's."""
    with store.staged(token) as folder:
        write_file(folder / FILE, record_bytes(record))
        store.commit(folder, stamp)


class LocalStore:
    """A folder of this machine."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.absolute()
        self.address = str(self.folder)

    def read(self, name: str) -> bytes | None:
        """Return what is in a file, None when there is none."""
        try:
            return (self.folder / name).read_bytes()
        except OSError:
            return None

    def write(self, name: str, content: bytes) -> None:
        """Write a file; see :meth:`Store.write`. Raises :class:`OutputError` when it cannot be written."""
        if self.read(name) == content:
            return
        target, held = self.folder / name, self.folder / UNFINISHED / uuid4().hex
        with _explained(target):
            held.parent.mkdir(exist_ok=True)
            target.parent.mkdir(exist_ok=True)
            try:
                with held.open("wb") as file:
                    file.write(content)
                    file.flush()
                    os.fsync(file.fileno())
                os.replace(held, target)
            except OSError:
                # On a full disk half a file is in the way.
                with suppress(OSError):
                    held.unlink()
                raise

    def remove(self, name: str) -> None:
        """Remove a file, if it is there."""
        with suppress(OSError):
            (self.folder / name).unlink()

    def names(self, folder: str) -> list[str]:
        """Return what is in a folder, by name."""
        try:
            return sorted(path.name for path in (self.folder / folder).iterdir())
        except OSError:
            return []

    def digest(self, name: str) -> str:
        """Return the SHA-256 of a file, empty when there is none."""
        return digest_at(self.folder / name)

    @contextmanager
    def staged(self, token: str) -> Iterator[Path]:
        """Enter an empty folder; see :meth:`Store.staged`. Raises :class:`OutputError` when there can be none."""
        folder = self.folder / UNFINISHED / token
        with _explained(folder):
            folder.mkdir(parents=True)
        try:
            yield folder
        finally:
            shutil.rmtree(folder, ignore_errors=True)

    def commit(self, folder: Path, stamp: str) -> None:
        """Put a folder in the place of a stamp's; see :meth:`Store.commit`.

        Raises :class:`OutputError` when it cannot be written.
        """
        home = self.folder / STAMPS
        _keep_others(home / stamp, folder)
        target, before = home / stamp, folder.with_name(f"{folder.name}{BEFORE}")
        with _explained(target):
            home.mkdir(exist_ok=True)
            if os.path.lexists(target):
                os.replace(target, before)
            # Killed here, the stamp has no folder, and is made again.
            os.replace(folder, target)
        if before.is_dir() and not before.is_symlink():
            shutil.rmtree(before, ignore_errors=True)
        else:
            before.unlink(missing_ok=True)

    def clear_unfinished(self) -> None:
        """Remove what runs that were killed have left, and put back a folder that one was just about to replace.

        Raises :class:`OutputError` when that cannot be done.
        """
        for path in (self.folder / UNFINISHED).glob(f"*{BEFORE}"):
            target = self.folder / STAMPS / path.name.partition(".")[0]
            if not os.path.lexists(target):
                with _explained(target):
                    os.replace(path, target)
        shutil.rmtree(self.folder / UNFINISHED, ignore_errors=True)


def _keep_others(former: Path, folder: Path) -> None:
    """Copy what somebody else put into a stamp's former folder into the one that takes its place."""
    try:
        record = record_from((former / FILE).read_bytes())
        there = [] if former.is_symlink() else sorted(former.iterdir())
    except OSError:
        return
    ours = {FILE, *(record.files if record is not None else ())}
    for path in there:
        if path.name not in ours and not (folder / path.name).exists():
            with _explained(path):
                (shutil.copytree if path.is_dir() else shutil.copy2)(path, folder / path.name)


class RemoteStore:
    """A place that fsspec reaches. A stamp's record is written last: without it nothing else of its folder counts."""

    def __init__(self, address: str) -> None:
        try:
            # Most orders are kept on the machine that they are made on.
            from fsspec.core import url_to_fs  # noqa: PLC0415
        except ImportError as error:
            raise OrderError(f"{address} takes {LIBRARY}; install stampwright[orders]") from error
        self.address = address
        with _explained(address):
            self._system, self._root = url_to_fs(address)

    def read(self, name: str) -> bytes | None:
        """Return what is in a file, None when there is none."""
        try:
            found: bytes = self._system.cat_file(self._at(name))
        except (OSError, ValueError):
            return None
        return found

    def write(self, name: str, content: bytes) -> None:
        """Write a file; see :meth:`Store.write`. Raises :class:`OutputError` when it cannot be written."""
        with _explained(f"{self.address}/{name}"):
            self._system.makedirs(self._at(name).rpartition("/")[0], exist_ok=True)
            self._system.pipe_file(self._at(name), content)

    def remove(self, name: str) -> None:
        """Remove a file, if it is there."""
        with suppress(OSError):
            self._system.rm_file(self._at(name))

    def names(self, folder: str) -> list[str]:
        """Return what is in a folder, by name."""
        try:
            found = self._system.ls(self._at(folder), detail=False)
        except (OSError, ValueError):
            return []
        return sorted(str(path).rstrip("/").rpartition("/")[2] for path in found)

    def digest(self, name: str) -> str:
        """Return the SHA-256 of a file, empty when there is none."""
        content = self.read(name)
        return "" if content is None else hashlib.sha256(content).hexdigest()

    @contextmanager
    def staged(self, token: str) -> Iterator[Path]:
        """Enter an empty folder; see :meth:`Store.staged`. Raises :class:`OutputError` when there can be none."""
        del token
        with _explained(tempfile.gettempdir()):
            held = tempfile.TemporaryDirectory(prefix="stampwright-", ignore_cleanup_errors=True)
        with held as folder:
            yield Path(folder)

    def commit(self, folder: Path, stamp: str) -> None:
        """Put a folder in the place of a stamp's; see :meth:`Store.commit`.

        Raises :class:`OutputError` when it cannot be written.
        """
        home = f"{STAMPS}/{stamp}"
        former = record_at(self, stamp)
        self.remove(f"{home}/{FILE}")
        names = sorted(path.name for path in folder.iterdir())
        for name in (*(name for name in names if name != FILE), FILE):
            self.write(f"{home}/{name}", (folder / name).read_bytes())
        for name in () if former is None else former.files:
            if name not in names:
                self.remove(f"{home}/{name}")

    def clear_unfinished(self) -> None:
        """Nothing of a run that was killed is left here: what it staged was on its own machine."""

    def _at(self, name: str) -> str:
        return f"{self._root.rstrip('/')}/{name}"


@contextmanager
def _explained(place: object) -> Iterator[None]:
    try:
        yield
    except ImportError as error:
        raise OutputError(f"{place}: cannot be reached ({error}); install that, or name another place") from error
    except (OSError, ValueError) as error:
        raise OutputError(
            f"{place}: cannot be written ({reason_of(error)}); make room or name another folder"
        ) from error
