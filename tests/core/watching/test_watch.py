"""Watched artwork is examined again at every save, the last good sheet is held, and nobody else is served."""

from __future__ import annotations

import http.client
import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from stampwright.errors import OutputError
from stampwright.watching import Board, changes, serving

from .browser import CHROMIUM, Browser

PAGE = '<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm"><path d="%s"/></svg>'
THIN, BROAD = PAGE % "M0 10h99v.2H0zM0 30h99v30H0z", PAGE % "M0 30h99v40H0z"


class Watched:
    """The program, watching."""

    def __init__(self, *words: object) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "stampwright", "watch", *map(str, words)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self.address = self.line().split(" at ")[1].split()[0]

    def line(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline()


@pytest.fixture
def artwork(tmp_path: Path) -> Path:
    path = tmp_path / "mark é.svg"
    path.write_text(THIN)
    return path


@pytest.fixture
def watched(artwork: Path, tmp_path: Path) -> Iterator[Watched]:
    job = tmp_path / "job.toml"
    job.write_text("format = 1\n")
    watching = Watched(artwork, "--job", job)
    yield watching
    if watching.process.poll() is None:
        watching.process.kill()
    watching.process.communicate()


def asked(address: str, path: str, host: str | None = None) -> tuple[int, str]:
    where = urlsplit(address)
    connection = http.client.HTTPConnection(where.hostname or "", where.port or 0, timeout=30)
    connection.request("GET", path, headers={"Host": host} if host else {})
    answer = connection.getresponse()
    return answer.status, answer.read().decode()


def test_every_save_of_artwork_or_job_is_shown_and_a_bad_one_is_held(
    watched: Watched, artwork: Path, tmp_path: Path
) -> None:
    assert "1 of" in watched.line()
    shown = json.loads(asked(watched.address, "/changes?after=-1")[1])
    assert "thin line" in shown["body"]
    assert not shown["trouble"]
    artwork.write_text(BROAD[:70])
    assert "held" in watched.line()
    held = json.loads(asked(watched.address, f"/changes?after={shown['number']}")[1])
    assert held["body"] == shown["body"]
    assert "mark é.svg" in held["trouble"]
    # As editors do: a new file in the old one's place.
    (tmp_path / "new").write_text(BROAD)
    os.replace(tmp_path / "new", artwork)
    assert "nothing found" in watched.line()
    mended = json.loads(asked(watched.address, f"/changes?after={held['number']}")[1])
    assert not mended["trouble"]
    assert "thin line" not in mended["body"]
    (tmp_path / "job.toml").write_text('format = 1\nname = "Renamed by its job"\n')
    watched.line()
    assert "Renamed by its job" in json.loads(asked(watched.address, f"/changes?after={mended['number']}")[1])["title"]


def test_files_that_a_job_names_are_watched_too(tmp_path: Path) -> None:
    (tmp_path / "sprout.svg").write_text(BROAD)
    pieces = tmp_path / "pieces.toml"
    pieces.write_text('format = 1\n[[pieces]]\nkind = "mark"\nfile = "sprout.svg"\nheight = 20\n')
    watching = Watched(pieces)
    try:
        assert "nothing found" in watching.line()
        # By when the file that the pieces name is watched, too, which is no change.
        time.sleep(0.5)
        shown = json.loads(asked(watching.address, "/changes?after=-1")[1])
        (tmp_path / "sprout.svg").write_text(THIN)
        assert "1 of 1 finding blocks" in watching.line()
        assert "thin line" in json.loads(asked(watching.address, f"/changes?after={shown['number']}")[1])["body"]
        (tmp_path / "sprout.svg").write_text(BROAD[:70])
        assert "sprout.svg" in watching.line()
        (tmp_path / "sprout.svg").write_text(BROAD)
        assert "nothing found" in watching.line()
    finally:
        watching.process.kill()
        watching.process.communicate()


@pytest.mark.skipif(os.name != "posix", reason="Ctrl-C is sent as a signal")
def test_ctrl_c_ends_it_cleanly(watched: Watched) -> None:
    watched.line()
    watched.process.send_signal(signal.SIGINT)
    out, err = watched.process.communicate(timeout=20)
    assert watched.process.returncode == 0
    assert "Stopped." in out
    assert not err
    with pytest.raises(ConnectionError):
        asked(watched.address, "/")


def test_only_this_machine_and_its_own_pages_are_served() -> None:
    board = Board("mark")
    with serving(board) as address:
        assert urlsplit(address).hostname == "127.0.0.1"
        status, page = asked(address, "/")
        assert status == 200
        assert "http" not in page.replace("http://www.w3.org/2000/svg", "")
        assert asked(address, "/", host="stamps.example")[0] == 403
        assert asked(address, "/../../etc/passwd")[0] == 404
        assert asked(address, "/changes?after=x")[0] == 200
        with pytest.raises(OutputError, match="port"), serving(board, urlsplit(address).port or 0):
            pass


@pytest.mark.parametrize("by_system", [True, False])
def test_changes_are_told_whoever_tells_them(tmp_path: Path, by_system: bool) -> None:
    watched, other = tmp_path / "watched.svg", tmp_path / "other.svg"
    watched.write_text("one")
    seen: list[float] = []

    def look() -> None:
        for _ in changes([watched], by_system=by_system):
            seen.append(time.monotonic())

    threading.Thread(target=look, daemon=True).start()

    def wait(count: int) -> None:
        last = time.monotonic() + 20
        while len(seen) < count and time.monotonic() < last:
            time.sleep(0.05)
        assert len(seen) == count

    wait(1)
    other.write_text("not watched")
    time.sleep(1.5)
    watched.write_text("two, longer")
    wait(2)
    watched.unlink()
    wait(3)
    watched.write_text("three")
    wait(4)


@pytest.mark.skipif(CHROMIUM is None, reason="takes chromium")
def test_a_real_browser_shows_each_save_without_being_told(watched: Watched, artwork: Path, tmp_path: Path) -> None:
    with Browser(tmp_path / "profile", watched.address) as browser:
        browser.wait_for("document.body.innerText.includes('thin line')")
        assert browser.value("document.querySelector('main svg').getBoundingClientRect().width") > 400
        artwork.write_text("<svg")
        said = browser.wait_for("!trouble.hidden && trouble.textContent")
        assert "This is the last good sheet" in said
        covered = "trouble.getBoundingClientRect().bottom > document.querySelector('main').getBoundingClientRect().top"
        assert not browser.value(covered)
        assert browser.value("document.body.innerText.includes('thin line')")
        artwork.write_text(BROAD)
        browser.wait_for("trouble.hidden && !document.querySelector('main').textContent.includes('thin line')")
        # Nothing was asked of any other machine.
        asked_of = browser.value("performance.getEntriesByType('resource').map(each => new URL(each.name).host).join()")
        assert set(asked_of.split(",")) == {urlsplit(watched.address).netloc}
        watched.process.send_signal(signal.SIGINT)
        browser.wait_for("trouble.textContent.includes('not watching any more')")
