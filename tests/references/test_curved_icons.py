"""Rollers and rockers of icons that others drew: sound in every part, and printing what they were made of.

Icons of the packages temaki (CC0) and bootstrap-icons (MIT).
"""

from collections import Counter

import numpy as np
from stampwright.artwork import read_artwork
from stampwright.errors import StampwrightError
from stampwright.examination import lay_out_job
from stampwright.job import Job
from stampwright.memory import Memory
from stampwright.parts.rolling import as_printed, flat_again
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
