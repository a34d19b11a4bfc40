"""Rollers and rockers of icons that others drew: sound in every part, and printing what they were made of.

Icons of the packages temaki (CC0), bootstrap-icons (MIT), @carbon/icons (Apache-2.0) and ionicons (MIT).
"""

from collections import Counter

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import box
from stampwright.artwork import Artwork, read_artwork
from stampwright.errors import StampwrightError
from stampwright.examination import examine_job, lay_out_job
from stampwright.job import Job
from stampwright.memory import Memory
from stampwright.parts.rolling import as_printed, flat_again
from stampwright.plane.grid import GRID
from stampwright.plane.regions import filled_parts
from stampwright.press import compare, find_face
from stampwright.raising import back, handle_of, raise_die
from stampwright.solids import check_soundness

WAYS = (
    {"bend.form": "roller"},
    {"bend.form": "roller", "bend.rolls": "up", "bend.repeat": 70.0, "bend.band": 30.0},
    {"bend.form": "roller", "bend.turns": 3, "bend.repeat": 45.0, "layout.margin": 0.5, "bend.stands": "lying"},
    {"bend.form": "roller", "bend.size_by": "radius", "bend.radius": 14.0, "die.shoulder": 35.0},
    {"bend.form": "rocker", "base.width": 44.0},
    {"bend.form": "roller", "bend.turns": 2, "bend.repeat": 60.0, "die.compensate_spread": True, "bend.band": 55.0},
    {"bend.form": "rocker", "bend.rolls": "up", "bend.radius": 22.0, "base.outline": "follow", "bend.stands": "lying"},
)


def test_every_roller_is_sound_and_prints_its_icon(icon_files, sweep):
    icons = icon_files("temaki")[::2] + icon_files("bootstrap-icons")[::11]
    unsound, refused, worst = [], Counter(), {}
    cases = [(file, WAYS[at % len(WAYS)]) for at, file in enumerate(icons[:350])]
    for file, way in sweep(cases, quick=7):
        job, memory = Job().with_values({"layout.size_by": "fit", **way}), Memory()
        try:
            laid = lay_out_job(job, read_artwork(file), memory, picture=None)
            die = raise_die(job, laid, memory, sculpt=None)
            backing, bend = back(job, laid.layout.base, die.bend, memory)
            handle, _ = handle_of(job, laid.layout.base, laid.layout.inked, bend, memory)
        except StampwrightError as error:
            refused[str(error)] += 1
            continue
        for solid in (die.solid, backing, handle):
            printed = as_printed(solid, bend, job.bend)
            verdict = check_soundness(printed.vertices.astype(np.float32), printed.triangles)
            if not verdict.sound or printed.vertices[:, 2].min() < -1e-4:
                unsound.append((file.name, way, printed.name, verdict.explain()))
        for once in flat_again(as_printed(die.solid, bend, job.bend), bend, job.bend):
            likeness = compare(find_face(once, depth=0.2, dpi=200).outlines, die.outlines, dpi=200).iou
            if likeness < 0.999:
                worst[file.name] = likeness
    assert unsound == []
    assert worst == {}
    # Where an outline is too long to rock on its radius.
    assert refused.total() <= 0.02 * len(cases), refused
    # Every refusal is one line that says what to do.
    assert [told for told in refused if "\n" in told or ";" not in told] == []


def over_the_end(drawn, length, *, upward, shift):
    """Return artwork of one repeat with a drawing ``shift`` mm off its middle, which goes on over its ends."""
    left, bottom, right, top = drawn.bounds
    size = 36.0 / max(right - left, top - bottom)
    middle = affinity.translate(drawn, -(left + right) / 2, -(bottom + top) / 2)
    icon = shapely.set_precision(affinity.scale(middle, size, size, origin=(0, 0)), 4 * GRID)
    steps = [shift + turn * length for turn in (-1, 0, 1)]
    tiles = [affinity.translate(icon, *((0, step) if upward else (step, 0))) for step in steps]
    half, width = length / 2, 50.0
    sheet = box(-width, -half, width, half) if upward else box(-half, -width, half, width)
    inked = filled_parts(shapely.intersection(shapely.union_all(tiles), sheet))
    across = (width, half) if upward else (half, width)
    return Artwork(inked=affinity.translate(inked, *across), page_size=(2 * across[0], 2 * across[1]), name="icon")


def test_an_icon_over_the_end_of_its_repeat_is_judged_and_printed_as_within(icon_files, sweep):
    told = {"thin line", "narrow gap", "speck", "spike", "flooding counter", "gap closed", "part lost", "counter lost"}
    # The first has edges that all but lie where a repeat ends, once it is repaired.
    icons = [next(file for file in icon_files("@carbon/icons") if file.name == "task--complete.svg")]
    icons += [*icon_files("@carbon/icons")[5::60], *icon_files("ionicons")[7::60]]
    unlike, unsound, worst = {}, [], {}
    for at, file in enumerate(sweep(icons[:60], quick=2)):
        upward = bool(at % 2)
        values = {
            "bend.form": "roller",
            "bend.rolls": "up" if upward else "across",
            "bend.repeat": 60.0,
            "bend.turns": 3,
            "bend.band": 46.0,
            "layout.size_by": "page",
            "layout.centre": "page",
            "layout.margin": 0.0,
            "die.shoulder": 45.0,
        }
        job, drawn = Job().with_values(values), read_artwork(file).inked
        within, over = (over_the_end(drawn, 60.0, upward=upward, shift=shift) for shift in (0.0, 30.0))
        kinds = [
            Counter((each.kind, each.severity) for each in examine_job(job, art).findings) for art in (within, over)
        ]
        counted = [{of: count for of, count in each.items() if of[0] in told} for each in kinds]
        if counted[0] != counted[1]:
            unlike[file.name] = counted
        repaired, memory = job.with_value("preflight.repair", True), Memory()
        die = raise_die(repaired, lay_out_job(repaired, over, memory, picture=None), memory, sculpt=None)
        for once in flat_again(as_printed(die.solid, die.bend, job.bend), die.bend, job.bend):
            if not check_soundness(once.vertices.astype(np.float32), once.triangles).sound:
                unsound.append(file.name)
            likeness = compare(find_face(once, depth=0.2, dpi=200).outlines, die.outlines, dpi=200).iou
            if likeness < 0.999:
                worst[file.name] = likeness
    assert (unlike, unsound, worst) == ({}, [], {})
