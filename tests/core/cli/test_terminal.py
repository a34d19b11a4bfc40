"""The line of progress: a person at a terminal sees it come and go, nobody else sees anything of it."""

import io

import pytest
from stampwright.cli import terminal


class Screen(io.StringIO):
    """A terminal's one line: what a person sees of it at the end."""

    def isatty(self):
        return True

    def shown(self):
        line = []
        column = 0
        for sign in self.getvalue():
            if sign == "\r":
                column = 0
            else:
                line[column : column + 1] = [sign]
                column += 1
        return "".join(line).rstrip()


def test_progress_is_seen_while_work_is_done_and_leaves_nothing_behind(monkeypatch):
    screen, seen = Screen(), []
    monkeypatch.setattr(terminal.sys, "stderr", screen)

    def work(tell):
        for share in (0.0, 0.25):
            tell(share)
            seen.append(screen.shown())
        return "done"

    assert terminal.with_progress("pressing", work) == "done"
    assert seen == ["  0 % pressing", " 25 % pressing"]
    assert screen.shown() == ""


def test_a_shorter_step_covers_a_longer_one_and_too_long_a_one_is_cleared_whole():
    screen = Screen()
    progress = terminal.ProgressLine(screen)
    progress.tell("looking for what would make it pass, among very many settings", 0.1)
    progress.tell("press", 1.0)
    assert screen.shown() == "100 % press"
    progress.close()
    assert screen.shown() == ""


def test_a_pipe_gets_no_progress_however_long_work_takes(monkeypatch):
    pipe = io.StringIO()
    clock = iter(range(0, 10_000, 100))
    monkeypatch.setattr("time.monotonic", lambda: next(clock))
    progress = terminal.ProgressLine(pipe)
    for share in (0.0, 0.5, 1.0):
        progress.tell("pressing", share)
    progress.close()
    assert pipe.getvalue() == ""


def test_the_line_goes_when_work_fails(monkeypatch):
    screen = Screen()
    monkeypatch.setattr(terminal.sys, "stderr", screen)

    def work(tell):
        tell(0.5)
        raise ValueError

    with pytest.raises(ValueError):  # noqa: PT011
        terminal.with_progress("pressing", work)
    assert screen.shown() == ""
