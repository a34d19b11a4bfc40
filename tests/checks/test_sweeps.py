"""Sweeps: the quick part without --all, everything with it."""

import subprocess
import sys
from pathlib import Path

import pytest

CONFTEST = Path(__file__).resolve().parents[1] / "conftest.py"

SWEEPS = """
import pytest
from hypothesis import given, strategies

@pytest.mark.sweep(4)
@pytest.mark.parametrize("number", range(10))
def test_marked(number):
    print("marked", number)

@pytest.mark.parametrize("number", range(3))
def test_plain(number):
    print("plain", number)

def test_own(sweep):
    print("own", sweep(range(7), quick=2))

drawn = []

@given(strategies.integers())
def test_any(number):
    drawn.append(number)

def test_drawn():
    print("drawn", len(drawn))
"""


@pytest.fixture
def said(tmp_path):
    """Return a function from pytest's arguments to the words of an invented file of sweeps."""
    (tmp_path / "tests").mkdir()
    (tmp_path / "tests" / "conftest.py").write_text(CONFTEST.read_text(encoding="utf-8"))
    (tmp_path / "tests" / "test_some.py").write_text(SWEEPS)

    def run(*arguments: str) -> list[str]:
        command = [sys.executable, "-m", "pytest", "-q", "-s", "-p", "no:cacheprovider", *arguments, "tests"]
        done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=True)
        return [line.lstrip(".") for line in done.stdout.splitlines()]

    return run


def test_without_all_a_sweep_tries_some_cases_spread_from_the_first_to_the_last(said):
    lines = said()
    assert [line for line in lines if line.startswith("marked")] == ["marked 0", "marked 3", "marked 6", "marked 9"]
    assert [line for line in lines if line.startswith("plain")] == ["plain 0", "plain 1", "plain 2"]
    assert "own [0, 6]" in lines
    assert "drawn 25" in lines
    assert any("6 deselected" in line for line in lines)


def test_with_all_a_sweep_tries_every_case(said):
    lines = said("--all")
    assert sum(line.startswith("marked") for line in lines) == 10
    assert "own [0, 1, 2, 3, 4, 5, 6]" in lines
    assert "drawn 100" in lines


def test_cases_chosen_by_name_are_all_tried_when_they_are_few(said):
    assert [line for line in said("-k", "marked and (1 or 2)") if line.startswith("marked")] == ["marked 1", "marked 2"]
