"""Toolpaths by a slicing library of the registry, mandoline-py 0.8.3: its beads print the art of a small die."""

import pytest
import stampwright
from mandoline.slicer import Slicer
from mandoline.stl_data import StlData
from stampwright.toolpaths import examine_toolpath, expected_of, read_gcode

from ..core.toolpaths.dies import small_stamp

ART = '<path d="M2 2h6v2h-4v2h3v2h-3v4h-2z"/><path d="M10 2h7v2h-2.5v8h-2v-8h-2.5z"/>'

OPTIONS = {
    "top_layers": 3,
    "bottom_layers": 3,
    "infill_type": "Lines",
    "infill_density": 100,
    "bed_size_x": 200,
    "bed_size_y": 200,
    "random_starts": False,
    "support_type": "None",
    "feed_rate": 20,
}


@pytest.fixture(scope="module")
def stamp(tmp_path_factory):
    """Return the stamp whose die is sliced."""
    return small_stamp(ART, tmp_path_factory.mktemp("art"))


@pytest.fixture
def sliced(stamp, tmp_path):
    """Return a function from the filament's diameter in the library's settings, mm, to what is found of its file."""

    def sliced(filament):
        mesh, file = tmp_path / "die.stl", tmp_path / "die.gcode"
        stampwright.write_stl(mesh, stamp.die, overwrite=True)
        body = StlData()
        body.read_file(str(mesh))
        slicer = Slicer([body])
        for name, value in OPTIONS.items():
            slicer.set_config(name, str(value))
        slicer.conf["nozzle_0_filament"] = filament
        slicer.slice_to_file(str(file))
        return examine_toolpath(read_gcode(file), expected_of(stamp))

    return sliced


def test_its_beads_print_the_art(sliced):
    # It takes the filament's diameter for the nozzle's bore, too: with 6.4 mm, lines 0.5 mm apart are fed rightly.
    examined = sliced(6.4)
    assert {finding.kind for finding in examined.findings if finding.severity == "blocks"} == set()
    likeness = examined.judgement.likeness
    assert likeness.parts == (2, 2)
    assert likeness.printed_share > 0.98
    assert examined.placing.size == pytest.approx((1, 1), abs=2e-3)
    assert examined.flow.share == pytest.approx(0.95, abs=0.1)
    assert (len(examined.thing.layers), examined.face_layer) == (10, 9)


def test_what_it_feeds_by_its_own_settings_is_found_to_be_too_much(sliced):
    examined = sliced(1.75)
    assert [finding.kind for finding in examined.findings if finding.severity == "blocks"] == ["wrong feed"]
    # An ellipse 1.25 x 1.75 mm wide and 0.2 mm high in the room of 0.5 x 0.2 mm.
    assert examined.flow.share == pytest.approx(3.436, rel=0.03)
    assert examined.judgement.likeness.parts == (2, 2)
