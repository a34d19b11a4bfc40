"""The guide's page on pressing tells what the program does."""

import re
from pathlib import Path

import pytest
import stampwright
from stampwright.press import force_to_print, ink_of, predict_print

SHARED = Path(__file__).parents[2] / "shared"
PAGE = (SHARED / "guide" / "pressing.md").read_text(encoding="utf-8")
CHANGES = {
    "nothing": {"press.dressing_done": 0.0},
    "die printed with 20 % infill": {"press.dressing_done": 0.0, "die.infill": 0.2},
    "2 mm of cellular rubber behind the die": {"press.dressing_done": 0.0, "cushion.thickness": 2.0},
    "dressed by 0.1 mm": {"press.dressing_done": 50.0},
    "dressed by 0.2 mm, as the job has it": {},
}


@pytest.fixture(scope="module")
def mark():
    job = stampwright.read_job(SHARED / "jobs" / "ownership-mark.toml")
    return job, stampwright.make_stamp(job, stampwright.read_artwork(SHARED / "artwork" / "ownership-mark.svg")).die


@pytest.mark.parametrize("change", CHANGES)
def test_figures_of_the_walk_are_those_of_the_program(mark, change):
    job, die = mark
    share, whole_at = re.search(rf"\| {re.escape(change)} \| (\d+) % \| (\d+) N \|", PAGE).groups()
    changed = job.with_values(CHANGES[change])
    prediction = predict_print(changed, die, dpi=150)
    assert prediction.pressing.force == pytest.approx(60.0)
    assert 100.0 * prediction.pressing.printed_share(job.ink.solid_from) == pytest.approx(float(share), abs=3.0)
    assert force_to_print(prediction.rig, ink_of(changed.ink)) == pytest.approx(float(whole_at), rel=0.05)


def test_pictures_of_the_page_are_there_and_small():
    names = re.findall(r"\]\(([^)]+\.(?:png|svg))\)", PAGE)
    assert len(names) >= 5
    assert sum((SHARED / "guide" / name).stat().st_size for name in names) < 1_000_000
