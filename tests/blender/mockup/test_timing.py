"""How long pictures take: assumed, learnt from the first, kept, and what is said before the first."""

import bpy
import pytest


@pytest.fixture
def timing(stamp, mockup, monkeypatch):
    """Return the room that reckons times, which knows none yet."""
    room = mockup("timing")
    monkeypatch.setattr(room, "_kept", {})
    monkeypatch.setattr(room, "_file", lambda create: None)
    return room


def test_time_is_estimated_beforehand_and_measured_on_request(stamp, timing):
    effort = timing.effort_of(stamp.stampwright.pictures)
    assert not timing.estimate(effort).measured
    assert bpy.ops.stampwright.estimate_picture() == {"FINISHED"}
    told = timing.estimate(effort)
    assert told.measured
    fine = timing.estimate(timing.effort_of(stamp.stampwright.pictures, quality="PRINT"))
    assert fine.seconds > told.seconds
    assert timing.estimate(effort, frames=10).seconds == pytest.approx(10 * told.seconds)


@pytest.mark.parametrize("slower", [0.05, 1.0, 12.0])
def test_after_the_first_picture_estimates_are_within_a_factor_of_two(stamp, timing, slower):
    # A machine that takes so many times as long as is assumed, to get ready and for each ray.
    ready, ray = slower * 2.0, slower * timing.ASSUMED["CYCLES"]
    first = timing.effort_of(stamp.stampwright.pictures, width=1280, height=960, quality="SCREEN")
    timing.learn(first, 1, ready + ray * first.rays)
    for change in ({}, {"width": 1920, "height": 1080}, {"quality": "PRINT"}, {"quality": "LOOK"}, {"width": 640}):
        effort = timing.replace(first, **change)
        told = timing.estimate(effort)
        assert told.measured
        assert 0.5 < told.seconds / (ready + ray * effort.rays) < 2.0


def test_a_rendered_picture_is_learnt_from(stamp, timing, tmp_path):
    size = {"width": 64, "height": 48, "quality": "LOOK"}
    assert bpy.ops.stampwright.render_picture(filepath=str(tmp_path / "one.png"), **size) == {"FINISHED"}
    assert timing.estimate(timing.effort_of(stamp.stampwright.pictures, **size)).measured


def test_a_film_is_learnt_from_by_its_frames(stamp, timing):
    effort = timing.effort_of(stamp.stampwright.pictures)
    timing.learn(effort, 20, 400.0)
    assert timing.estimate(effort).seconds == pytest.approx(20.0)


def test_what_was_learnt_is_kept_for_the_next_session_and_a_spoiled_file_is_no_fault(
    stamp, mockup, monkeypatch, tmp_path
):
    timing, path = mockup("timing"), tmp_path / "rendering.json"
    monkeypatch.setattr(timing, "_kept", {})
    monkeypatch.setattr(timing, "_file", lambda create: path)
    effort = timing.effort_of(stamp.stampwright.pictures)
    timing.learn(effort, 1, 33.0)
    timing.forget()
    assert timing.estimate(effort).seconds == pytest.approx(33.0)
    for spoiled in ("", "[1, 2]", '{"CYCLES": 3}', '{"CYCLES": ["a", 2]}', "\x00"):
        path.write_text(spoiled)
        timing.forget()
        assert not timing.estimate(effort).measured


def test_the_first_picture_on_a_graphics_card_is_told_to_compile_and_does_not_spoil_estimates(
    stamp, timing, monkeypatch
):
    effort = timing.effort_of(stamp.stampwright.pictures)
    assert not timing.is_first_use("CYCLES")

    class Card:
        compute_device_type = "OPTIX"

        @staticmethod
        def has_active_device():
            return True

    monkeypatch.setattr(timing, "_cycles", lambda: Card)
    assert timing.is_first_use("CYCLES")
    usual = timing.estimate(effort).seconds
    # Nine minutes to compile, and two seconds for the picture.
    timing.begin(effort, 1)
    timing.learn(effort, 1, 542.0, compiled=timing.is_first_use("CYCLES"))
    assert not timing.is_first_use("CYCLES")
    assert timing.estimate(effort).seconds <= usual
