"""What is said first about an awkward drawing makes it pass: counted on a hundred of them."""

from .awkward import awkward_drawings, first_advice

STEP, QUICK = 3, 2  # every third even in full: bench ways goes through all
WORK = 50_000
LEAST_HELPED = 0.95


def test_the_first_advice_makes_awkward_drawings_pass(tmp_path, icon_files, sweep, capsys):
    drawings = awkward_drawings(tmp_path, [*icon_files("feather-icons"), *icon_files("@carbon/icons")])
    assert len(drawings) == 100
    told = [first_advice(drawing, work=WORK) for drawing in sweep(drawings[::STEP], quick=QUICK)]
    blocked = [advice for advice in told if advice.blocked]
    helpless = [advice.in_words() for advice in blocked if not advice.passes]
    with capsys.disabled():
        print(f"\nawkward drawings: {len(blocked)} blocked, {len(helpless)} of them not helped", *helpless, sep="\n")
    assert blocked
    assert len(helpless) <= (1 - LEAST_HELPED) * len(blocked)
