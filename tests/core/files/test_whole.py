"""A set of files comes into its folder together or not at all, and nothing that was there is lost."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest
from stampwright.errors import Cancelled, OutputError
from stampwright.files import StagedFolder, write_file

NAMES = ["a.txt", "b.txt"]


def contents(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text() for path in folder.iterdir()}


def write_both(folder: Path, *, overwrite: bool = False) -> None:
    with StagedFolder(folder, NAMES, overwrite=overwrite) as staged:
        for name in NAMES:
            staged.write(name, f"new {name}")


def test_files_come_together_in_a_folder_made_for_them(tmp_path: Path) -> None:
    folder = tmp_path / "one" / "two"
    with StagedFolder(folder, NAMES) as staged:
        staged.write("a.txt", "new a.txt")
        assert not (folder / "a.txt").exists()
        assert staged.path("a.txt").read_text() == "new a.txt"
        staged.write("b.txt", b"new b.txt")
    assert contents(folder) == {"a.txt": "new a.txt", "b.txt": "new b.txt"}


@pytest.mark.parametrize("error", [Cancelled("stopped"), KeyboardInterrupt(), RuntimeError("bug")])
def test_work_that_stops_leaves_nothing(error: BaseException, tmp_path: Path) -> None:
    def stop_half_way() -> None:
        with StagedFolder(tmp_path / "new" / "deep", NAMES) as staged:
            staged.write("a.txt", "half")
            raise error

    with pytest.raises(type(error)):
        stop_half_way()
    assert not list(tmp_path.iterdir())


def test_existing_files_stop_the_work_before_it_begins(tmp_path: Path) -> None:
    (tmp_path / "b.txt").write_text("old")
    began = False
    with pytest.raises(OutputError, match=r"b\.txt already"), StagedFolder(tmp_path, NAMES):
        began = True
    assert not began
    assert contents(tmp_path) == {"b.txt": "old"}


def test_force_overwrites_and_leaves_the_rest_alone(tmp_path: Path) -> None:
    (tmp_path / "b.txt").write_text("old")
    (tmp_path / "other.txt").write_text("theirs")
    write_both(tmp_path, overwrite=True)
    assert contents(tmp_path) == {"a.txt": "new a.txt", "b.txt": "new b.txt", "other.txt": "theirs"}


def test_a_file_that_appears_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    def write_while_another_writes() -> None:
        with StagedFolder(tmp_path, NAMES) as staged:
            staged.write("a.txt", "new")
            (tmp_path / "a.txt").write_text("theirs")

    with pytest.raises(OutputError, match="already"):
        write_while_another_writes()
    assert contents(tmp_path) == {"a.txt": "theirs"}


def test_a_rename_that_fails_puts_everything_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a.txt").write_text("old a")
    (tmp_path / "b.txt").write_text("old b")
    rename = os.replace

    def failing(source: Path, target: Path) -> None:
        if Path(target) == tmp_path / "b.txt" and Path(source).name == "b.txt":
            raise OSError(errno.EIO, "Input/output error")
        rename(source, target)

    monkeypatch.setattr(os, "replace", failing)
    with pytest.raises(OutputError, match="Input/output error"):
        write_both(tmp_path, overwrite=True)
    assert contents(tmp_path) == {"a.txt": "old a", "b.txt": "old b"}


def test_a_full_disk_is_one_clear_line_and_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match=r"No space left on device.*make room") as caught:
        write_both(tmp_path / "new")
    assert "\n" not in str(caught.value)
    assert not list(tmp_path.iterdir())


@pytest.mark.skipif(sys.platform == "win32", reason="limits on file size are set through POSIX")
def test_a_write_that_the_system_cuts_off_leaves_nothing(tmp_path: Path) -> None:
    script = (
        "import resource, signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000))\n"
        "from stampwright.errors import OutputError; from stampwright.files import write_file\n"
        "try: write_file(sys.argv[1], bytes(1_000_000))\n"
        "except OutputError as error: print(error)\n"
    )
    target = tmp_path / "large.bin"
    done = subprocess.run([sys.executable, "-c", script, str(target)], capture_output=True, text=True, check=True)
    assert "cannot be written" in done.stdout
    assert "make room" in done.stdout
    assert not list(tmp_path.iterdir())


def test_places_that_cannot_hold_files_are_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("theirs")
    with pytest.raises(OutputError, match="is a file, not a folder"):
        write_both(tmp_path / "file")
    with pytest.raises(OutputError, match="cannot be written"):
        write_both(tmp_path / "file" / "below")
    with pytest.raises(OutputError, match="cannot be written"):
        write_both(tmp_path / ("long" * 100))
    with pytest.raises(OutputError, match="cannot be written"):
        write_both(tmp_path / "nul\0")
    (tmp_path / "a.txt").mkdir()
    with pytest.raises(OutputError, match="is a folder where a file should go"):
        write_both(tmp_path, overwrite=True)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.txt", "file"]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="an administrator may write anywhere")
def test_a_folder_without_leave_to_write_is_refused(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(OutputError, match="Permission denied"):
            write_both(tmp_path)
    finally:
        tmp_path.chmod(0o700)


def test_single_files_follow_the_same_rules(tmp_path: Path) -> None:
    write_file(tmp_path / "new" / "a.txt", b"one")
    with pytest.raises(OutputError, match="already"):
        write_file(tmp_path / "new" / "a.txt", b"two")
    write_file(tmp_path / "new" / "a.txt", b"three", overwrite=True)
    assert contents(tmp_path / "new") == {"a.txt": "three"}
