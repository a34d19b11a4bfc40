"""A stamp tried on paper: quick enough for live work, thorough on request, and it can be stopped."""

import pytest
from shapely.geometry import MultiPolygon, box
from stampwright.errors import Cancelled
from stampwright.job import Job
from stampwright.memory import Memory
from stampwright.press import predict_print, report_press, try_on_paper


@pytest.fixture(scope="module")
def bars():
    return MultiPolygon([box(-15, y, 15, y + 1.2) for y in (-8, -4, 0, 4, 8)])


@pytest.fixture(scope="module")
def die(raise_die, bars):
    return raise_die(bars)


def test_trial_is_the_print_and_the_report_in_one(die, bars):
    job = Job().with_values({"press.bow": 0.15, "press.solver": "full"})
    trial = try_on_paper(job, die, bars, allowance=0.2)
    alone = predict_print(job.with_value("press.solver", "quick"), die, bars, allowance=0.2, dpi=200)
    assert trial.prediction.pressing.solver == "quick"
    assert trial.printed_share == pytest.approx(alone.pressing.printed_share(job.ink.solid_from))
    report = report_press(job, die, allowance=0.2, dpi=100)
    assert trial.report.finished == report.finished
    assert trial.report.off_centre == report.off_centre
    assert (trial.report.advice, trial.report.sensitivities) == ((), ())
    assert trial.peak > job.press.force / bars.area


def test_full_trial_takes_the_full_solver_and_says_what_each_assumption_does(die, bars):
    trial = try_on_paper(Job(), die, bars, allowance=0.2, full=True)
    assert trial.full
    assert trial.prediction.pressing.solver == "full"
    assert trial.report.sensitivities


def test_what_has_not_changed_is_not_reckoned_again(die, bars):
    memory = Memory()
    one = try_on_paper(Job(), die, bars, allowance=0.2, memory=memory)
    other = try_on_paper(Job().with_value("press.force", 20.0), die, bars, allowance=0.2, memory=memory)
    assert other.prediction.face is one.prediction.face
    assert other.report.finished is one.report.finished
    assert other.peak < one.peak
    stiffer = try_on_paper(Job().with_value("die.material", "tpu-85a"), die, bars, allowance=0.2, memory=memory)
    assert stiffer.report.finished is not one.report.finished


def test_stated_face_is_pressed_like_the_one_that_is_found(die, bars):
    found = try_on_paper(Job(), die, bars, allowance=0.2)
    stated = try_on_paper(Job(), die, bars, meant=bars, allowance=0.2)
    assert stated.printed_share == pytest.approx(found.printed_share, abs=1e-3)
    assert stated.report.finished.whole_at == pytest.approx(found.report.finished.whole_at, rel=0.03)


@pytest.mark.parametrize("full", [False, True])
def test_trial_tells_how_far_it_is_and_can_be_stopped(die, bars, full):
    told = []
    try_on_paper(Job(), die, bars, allowance=0.2, full=full, progress=lambda step, share: told.append((step, share)))
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    assert 0.0 <= shares[0] < 0.1
    assert 0.9 < shares[-1] <= 1.0
    assert len(told) > 20

    def stop(step, share):
        if share > 0.3:
            raise Cancelled("stop")

    with pytest.raises(Cancelled):
        try_on_paper(Job(), die, bars, allowance=0.2, full=full, progress=stop)
