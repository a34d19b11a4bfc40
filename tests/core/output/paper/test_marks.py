"""Signs stand clear of the base and of each other, in the order of what they point at."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon, box
from stampwright.findings import Finding, Severity
from stampwright.output.paper.marks import MOST_ALIKE, REACH, SPACING, mark_findings


def finding(x: float, y: float, severity: Severity = "warns", kind: str = "thin line") -> Finding:
    return Finding(kind=kind, severity=severity, stage="preflight", message="", place=Point(x, y).buffer(0.2))


@settings(max_examples=60, deadline=None)
@given(
    places=st.lists(st.tuples(st.floats(-14, 14), st.floats(-9, 9)), max_size=60),
    base=st.sampled_from([Point(0, 0).buffer(18), box(-16, -11, 16, 11)]),
)
def test_signs_keep_their_distance(places: list[tuple[float, float]], base: Polygon) -> None:
    # Each of a kind of its own, so that only the room round the base limits how many signs there are.
    marks = mark_findings([finding(x, y, kind=f"kind {index}") for index, (x, y) in enumerate(places)], base)
    assert [mark.number for mark in marks] == list(range(1, len(places) + 1))
    signs = np.array([mark.sign for mark in marks if mark.sign])
    assert len(signs) == min(len(places), int(base.buffer(REACH, quad_segs=16).exterior.length / SPACING), 40)
    for index, sign in enumerate(signs):
        assert base.distance(Point(sign)) > REACH * 0.98
        others = np.linalg.norm(np.delete(signs, index, axis=0) - sign, axis=1)
        # Straight across a bend of the line, two signs are a little nearer than along it.
        assert (others > SPACING * 0.85).all()


def test_a_lone_sign_stands_where_its_place_is_nearest_to_the_edge() -> None:
    (mark,) = mark_findings([finding(10, 0)], Point(0, 0).buffer(18, quad_segs=64))
    assert np.allclose(mark.sign, (23, 0), atol=0.3)
    assert np.allclose(mark.spot, (10, 0), atol=0.2)


def test_the_gravest_come_first_and_what_has_no_place_gets_no_sign() -> None:
    whole = Finding(kind="high cover", severity="warns", stage="preflight", message="")
    marks = mark_findings([finding(1, 1, "notes"), whole, finding(2, 2, "blocks")], box(-5, -5, 5, 5))
    assert [mark.finding.severity for mark in marks] == ["blocks", "warns", "notes"]
    assert [mark.sign is None for mark in marks] == [False, True, False]


def test_findings_alike_share_a_number_and_only_the_first_get_signs() -> None:
    crowd = [finding(-12 + index, 0) for index in range(MOST_ALIKE + 5)]
    marks = mark_findings([*crowd, finding(0, 5, "blocks"), finding(3, 3, kind="speck")], box(-16, -11, 16, 11))
    assert [mark.number for mark in marks] == [1] + [2] * len(crowd) + [3]
    assert [mark.sign is not None for mark in marks] == [True] + [True] * MOST_ALIKE + [False] * 5 + [True]
