"""A stamp is judged by the art as it was given, from the written file, before anything comes into its folder."""

import json
import re
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import box
from stampwright.artwork import Artwork, read_artwork
from stampwright.cli import main
from stampwright.errors import ProofError
from stampwright.job import Job
from stampwright.likeness import PRINT_KINDS, RUN_TOGETHER, WIDENED, likeness_in_words
from stampwright.likeness.comparing import laid_parts
from stampwright.memory import Memory
from stampwright.output import write_folder
from stampwright.plane.regions import filled_parts
from stampwright.workshop import examine_artwork, make_files, make_stamp

ADDRESS = ("Mossgate Seed Library", "seeds to borrow")
POINT = 25.4 / 72  # mm
ON_PAGE = {
    "base.outline": "rectangle",
    "base.width": 60.0,
    "base.height": 25.0,
    "layout.size_by": "page",
    "layout.centre": "bounds",
    "preflight.repair": True,
}


def address(points: float) -> str:
    lines = "".join(
        f'<text x="30" y="{6 + 4.6 * at}" font-size="{points * POINT:.4f}" text-anchor="middle">{line}</text>'
        for at, line in enumerate(ADDRESS)
    )
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="25mm" viewBox="0 0 60 25">'
        f'<g font-family="sans-serif">{lines}</g></svg>'
    )


@pytest.fixture(scope="module")
def small_address(tmp_path_factory):
    path = tmp_path_factory.mktemp("address") / "address.svg"
    path.write_text(address(7))
    return path


@pytest.fixture(scope="module")
def repaired(small_address):
    return make_stamp(Job().with_values(ON_PAGE), read_artwork(small_address))


@pytest.fixture(scope="module")
def mark() -> Artwork:
    shapes = [box(0, 0, 20, 10).difference(box(4, 3, 16, 7)), box(24, 0, 30, 10)]
    inked = filled_parts(shapely.union_all(shapes))
    return Artwork(inked=inked, page_size=(30, 10), name="mark")


@pytest.fixture(scope="module")
def written(tmp_path_factory, mark):
    _, written = make_files(Job(), mark, tmp_path_factory.mktemp("made") / "mark")
    assert written is not None
    return written


def test_an_address_too_small_for_the_nozzle_is_refused_with_its_letters_named(tmp_path, capsys, small_address):
    settings = [part for name, value in ON_PAGE.items() for part in ("--set", f"{name}={str(value).lower()}")]
    code = main(["make", str(small_address), "--out", str(tmp_path / "made"), "--no-ways", *settings])
    said = capsys.readouterr()
    assert code == 1
    assert not (tmp_path / "made").exists()
    assert re.search(r"blocks +stroke widened beyond recognition: The letters 's', .*'e' of 'Mossgate' drown", said.out)
    assert WIDENED in said.err


def test_examining_an_address_says_what_its_reader_would_lose(small_address):
    artwork = read_artwork(small_address)
    found = examine_artwork(Job().with_values(ON_PAGE), artwork)
    blocks = {finding.kind for finding in found if finding.severity == "blocks"}
    assert WIDENED in blocks


def test_repair_is_judged_by_the_art_before_it(small_address, repaired):
    stamp = repaired
    given = filled_parts(affinity.affine_transform(read_artwork(small_address).inked, list(stamp.layout.matrix)))
    # Strokes that stay narrower than the printer lays are not there in print.
    printed = laid_parts(stamp.impression.outlines, spread=0.1, laid=0.4)
    likeness = stamp.judgement.likeness
    assert likeness.iou == pytest.approx(printed.intersection(given).area / printed.union(given).area, rel=1e-6)
    assert likeness.iou < 0.5
    assert likeness.added == pytest.approx(printed.difference(given).area, rel=1e-6)


def test_the_report_has_the_likeness_to_what_was_given_and_to_what_was_built(written):
    report = json.loads(written.files["report.json"].read_text(encoding="utf-8"))
    given, built = report["likeness"]["given"], report["likeness"]["built"]
    assert built["iou"] > 0.9999
    assert built["changes"] == []
    assert built["parts"] == {"given": 2, "printed": 2}
    assert built["counters"] == {"given": 1, "printed": 1}
    expected = written.stamp.given.inked
    assert given["iou"] == pytest.approx(expected.area / expected.buffer(0.1).area, abs=0.002)
    assert given["lost"] == pytest.approx(0.0, abs=1e-6)
    assert given["judged_by"] == "parts and counters"


def test_proof_and_ticket_lead_with_the_art_as_given(written):
    said = likeness_in_words(written.stamp.judgement.likeness, 0.1)
    assert said.startswith("100.0\N{NO-BREAK SPACE}% of the art as given, with ")
    for name in ("proof.svg", "ticket.html"):
        text = " ".join(written.files[name].read_text(encoding="utf-8").split())
        assert "of the art as given" in text


def test_the_written_die_is_judged_before_anything_comes_into_the_folder(tmp_path, mark):
    stamp = make_stamp(Job(), mark)
    other = affinity.translate(stamp.given.inked, 0, 0)
    lost = filled_parts(shapely.union_all([other, affinity.translate(box(0, 0, 4, 4), 0, 12)]))
    meant = replace(stamp, given=replace(stamp.given, inked=lost))
    with pytest.raises(ProofError, match="does not read as the art"):
        write_folder(tmp_path / "made", meant)
    assert not (tmp_path / "made").exists()


def test_accepted_losses_are_made_and_told(tmp_path):
    bars = filled_parts(shapely.union_all([box(0, 0, 10, 20), box(10.15, 0, 20, 20)]))
    artwork = Artwork(inked=bars, page_size=(20, 20), name="bars")
    job = Job().with_values({"layout.size_by": "page"})
    stamp, nothing = make_files(job, artwork, tmp_path / "made")
    assert nothing is None
    assert {finding.kind for finding in stamp.blocked} == {RUN_TOGETHER}
    assert not (tmp_path / "made").exists()
    accepted = job.with_value("preflight.accept", (RUN_TOGETHER,))
    stamp, written = make_files(accepted, artwork, tmp_path / "made")
    assert written is not None
    told = [finding for finding in stamp.findings if finding.kind in PRINT_KINDS]
    assert [(finding.kind, finding.severity) for finding in told] == [(RUN_TOGETHER, "warns")]
    assert "1 pair of parts run together" in likeness_in_words(stamp.judgement.likeness, 0.1)


def test_a_stamp_that_is_made_again_is_not_judged_again(mark):
    memory = Memory()
    first = make_stamp(Job(), mark, memory=memory)
    second = make_stamp(Job().with_value("handle.height", 40.0), mark, memory=memory)
    assert second.judgement is first.judgement


@pytest.mark.parametrize("grain", ["linen", "stipple"])
def test_a_textured_face_is_judged_by_its_outlines(grain, mark):
    stamp = make_stamp(Job().with_value("face.texture", grain), mark)
    assert not [finding for finding in stamp.findings if finding.kind in PRINT_KINDS]
    assert stamp.judgement.likeness.lost < 0.01


def test_screened_tones_are_judged_by_tone(mark):
    grey = np.linspace(0, 1, 64)[None, :].repeat(16, axis=0)
    stamp = make_stamp(Job().with_value("face.tone", "dots"), mark, picture=grey)
    likeness = stamp.judgement.likeness
    assert likeness.changes == ()
    assert likeness.tone is not None
    assert 0 < likeness.tone.mean < 0.3
    assert likeness.lost > 0.1 * likeness.given_area
