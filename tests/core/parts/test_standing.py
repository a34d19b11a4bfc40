"""Parts put together as in use: each rests on what it is glued to."""

import itertools

import pytest
from shapely.geometry import MultiPolygon, Point
from stampwright import Artwork, Job, make_stamp
from stampwright.parts import stand

MARK = Artwork(inked=MultiPolygon([Point(4, 4).buffer(4)]), page_size=(8.0, 8.0))


def span(solid, pose):
    low, high = float(solid.bounds[0][2]), float(solid.bounds[1][2])
    return (pose.z - high, pose.z - low) if pose.turned else (pose.z + low, pose.z + high)


@pytest.mark.parametrize("cushion", [0.0, 2.0])
def test_the_die_rests_on_the_paper_in_the_seat_under_the_handle(cushion):
    stamp = make_stamp(Job().with_values({"cushion.thickness": cushion, "handle.index": "none"}), MARK)
    poses = stamp.stand("use")
    assert span(stamp.die, poses["die"]) == pytest.approx((0.0, 4.2))
    low, high = span(stamp.backing, poses["backing"])
    # The seat is 1 mm deep and the cushion lies in it (common practice).
    assert low == pytest.approx(4.2 - 1.0, abs=1e-6)
    assert high == pytest.approx(4.2 + cushion + 3.0)
    assert span(stamp.handle, poses["handle"])[0] == pytest.approx(high)
    if cushion:
        assert span(stamp.cushion, poses["cushion"]) == pytest.approx((4.2, 4.2 + cushion))


@pytest.mark.parametrize("form", ["one-piece", "none"])
def test_without_a_plate_the_handle_stands_on_the_die(form):
    stamp = make_stamp(Job().with_values({"backing.form": form, "handle.index": "none"}), MARK)
    poses = stamp.stand("use")
    assert set(poses) == {"die", "handle"}
    assert span(stamp.handle, poses["handle"])[0] == pytest.approx(span(stamp.die, poses["die"])[1])


def test_apart_and_for_printing_no_part_touches_another():
    stamp = make_stamp(Job().with_value("handle.index", "none"), MARK)
    heights = sorted(span(solid, stamp.stand("apart")[solid.name]) for solid in stamp.parts.values())
    assert all(upper[0] > lower[1] for lower, upper in itertools.pairwise(heights))
    poses = stamp.stand("print")
    assert not any(pose.turned or pose.z for pose in poses.values())
    widths = sorted(
        (poses[solid.name].x + solid.bounds[0][0], poses[solid.name].x + solid.bounds[1][0])
        for solid in stamp.parts.values()
    )
    assert all(right[0] > left[1] for left, right in itertools.pairwise(widths))


def test_a_stamp_of_a_die_alone_stands_too():
    parts = [make_stamp(Job(), MARK).die]
    assert set(stand(parts, "use", seat=3.0)) == set(stand(parts, "print", seat=3.0)) == {"die"}
