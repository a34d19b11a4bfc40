"""The programs that the guide shows for Python run as they stand, and print what they promise."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import stampwright
from PIL import Image

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "shared" / "guide" / "python.md").read_text(encoding="utf-8")
SECTION = re.compile(r"^## ([^\n]+)\n(?:(?!^## ).)*?```python\n(.*?)```", re.MULTILINE | re.DOTALL)
PROGRAMS: dict[str, str] = dict(SECTION.findall(PAGE))


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    """Return a folder like the project's, where programs may write."""
    folder = tmp_path_factory.mktemp("project")
    shutil.copytree(ROOT / "shared" / "artwork", folder / "shared" / "artwork")
    (folder / "out").mkdir()
    return folder


@pytest.fixture(scope="module")
def told(project):
    """Run every program, in the order of the page, and return what each printed."""

    def run(program):
        done = subprocess.run(
            [sys.executable, "-W", "error", "-c", program],
            cwd=project,
            capture_output=True,
            text=True,
            timeout=300,
            env={**os.environ, "PYTHONPATH": str(Path(stampwright.__file__).parents[1])},
            check=False,
        )
        assert done.stderr == ""
        assert done.returncode == 0
        return done.stdout

    return {title: run(program) for title, program in PROGRAMS.items()}


def test_there_are_five_programs_and_one_on_errors():
    assert len(PROGRAMS) == 6
    assert all(len(program.splitlines()) <= 12 for program in PROGRAMS.values())


def test_findings_are_listed_with_their_places(told):
    lines = told["Read art and list what was found"].splitlines()
    assert lines
    assert all(re.match(r"(blocks|warns|notes) [a-z ]+ at -?\d+\.\d, -?\d+\.\d mm: ", line) for line in lines)


def test_a_die_alone_is_sound_and_prints_its_art(told, project):
    die = stampwright.read_mesh(project / "out" / "seed-library-die.stl")
    assert told["Build only a die"].startswith(f"{die.volume / 1000:.2f} cm³ in {len(die.triangles)} ")
    # 2 mm of floor, 1.6 mm of relief, 0.2 mm to dress off.
    assert die.bounds[1][2] - die.bounds[0][2] == pytest.approx(3.8, abs=1e-4)


def test_an_impression_is_saved_at_true_size(told, project):
    with Image.open(project / "out" / "seed-library-print.png") as picture:
        assert picture.info["dpi"] == pytest.approx((600, 600), abs=0.1)
        # The base is 36 mm across, and bare paper is kept round it.
        assert 36 <= picture.size[0] / 600 * 25.4 <= 40
    assert "mm² of ink" in told["Press any mesh and save the picture"]


def test_only_what_changed_is_made_again(told):
    assert told["Change one setting and make the stamp again"] == "the same die: True, the same handle: False\n"


def test_chosen_parts_are_in_one_file(told, project):
    assert told["Write one 3MF file of chosen parts"] == "backing, handle\n"
    for name in ("backing", "handle"):
        assert stampwright.read_mesh(project / "out" / "pear-hard-parts.3mf", part=name).volume > 1000


def test_a_mistake_is_told_in_one_line(told):
    (line,) = told["When something is wrong"].splitlines()
    assert line == "die.relief = 50.8 is not allowed: it takes a number from 0.4 to 20 mm"


def test_every_name_that_is_told_is_public():
    for name in set(re.findall(r"stampwright\.(\w+)", PAGE)) - {"stl"}:
        assert name in stampwright.__all__
