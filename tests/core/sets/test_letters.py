"""Letters in a picture of several inks: what a reader would miss of them blocks, as in any stamp."""

import pytest
import shapely
from shapely.geometry import MultiPolygon
from stampwright.inks import Trapped
from stampwright.job import Job
from stampwright.sets import coloured_of, examine_set, proposed_job
from stampwright.sets.making import part_art
from stampwright.sets.trapped import about_specks

SMALL = Job().with_values({"base.width": 30.0, "base.height": 26.0, "base.outline": "rectangle", "handle.form": "none"})


def lettered(tmp_path, size):
    """Return a set of light type on a dark ground."""
    path = tmp_path / "type.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="26mm" height="22mm" viewBox="0 0 26 22">'
        '<rect width="26" height="22" fill="#1c2f5c"/><circle cx="13" cy="6" r="4" fill="#ffd84d"/>'
        f'<text x="13" y="18" font-size="{size}" text-anchor="middle" fill="#ffd84d">seeds</text></svg>'
    )
    coloured = coloured_of(SMALL, str(path))
    return proposed_job(SMALL, coloured), coloured


def test_light_type_too_small_for_the_dark_ink_round_it_blocks(tmp_path):
    examined = examine_set(*lettered(tmp_path, 2.2))
    (finding,) = [each for each in examined.blocked if each.kind == "part lost"]
    assert "'seeds'" in finding.message
    assert finding.message.startswith("yellow: ")


def test_an_ink_is_judged_with_the_letters_that_stand_in_the_art(tmp_path):
    job, coloured = lettered(tmp_path, 6.0)
    parted = part_art(job, coloured)
    job, plate = parted.plate(job, "dark-blue")
    assert [letter.character for letter in plate.letters] == list("seeds")
    # Light letters stand in the dark ink as its counters.
    paper = shapely.difference(shapely.box(*plate.inked.bounds), plate.inked)
    for letter in plate.letters:
        assert letter.place.intersection(paper).area > 0.2 * letter.place.area


@pytest.mark.parametrize(("side", "told"), [(1.2, "part lost"), (0.6, "colours joined")])
def test_what_is_larger_than_a_speck_is_missed_by_a_reader(side, told):
    specks = MultiPolygon([shapely.box(0, 0, side, 0.3)])
    (finding,) = about_specks(Trapped((), (), (("yellow", specks),)), (), 0.8)
    assert (finding.kind, finding.severity) == (told, "blocks" if told == "part lost" else "notes")
    assert [each.severity for each in about_specks(Trapped((), (), (("yellow", specks),)), (), 0.8, ["part lost"])] == [
        "warns" if told == "part lost" else "notes"
    ]
