"""Labels: one for each setting, short enough for a panel, none twice in a panel."""

from collections import Counter

import pytest
from stampwright.job.labels import (
    BUTTONS,
    CHOICES,
    LABELS,
    PANELS,
    SETTINGS,
    choice_label,
    full_label,
    in_labels,
    label_of,
    labelled,
    panel_of,
)


def test_the_tables_name_settings_that_there_are():
    assert set(LABELS) <= set(SETTINGS)
    assert set(BUTTONS) <= set(SETTINGS)
    assert set(PANELS) <= set(SETTINGS) | {path.partition(".")[0] for path in SETTINGS}
    assert set(CHOICES) <= {choice for about in SETTINGS.values() for choice in about.choices}


def test_no_two_settings_are_called_the_same():
    told = Counter(full_label(path) for path in SETTINGS if path not in BUTTONS)
    # A screen of the face and one of a traced picture are the same thing in two places; so are widths.
    assert {label for label, count in told.items() if count > 1} <= {
        "Artwork: Dot Spacing",
        "Artwork: Width",
        "Artwork: Screen Turn",
    }


@pytest.mark.parametrize("path", SETTINGS)
def test_labels_are_words_in_capitals(path):
    label = label_of(path)
    assert label[0].isupper()
    assert "_" not in label
    assert len(labelled(path)) <= 24


@pytest.mark.parametrize("path", SETTINGS)
def test_every_choice_has_a_label_and_a_reason(path):
    about = SETTINGS[path]
    # Colours and layers are named as the drawing has them.
    free = path in ("tracing.ink_colours", "tracing.ink_layers")
    assert bool(about.choices) is (about.kind in ("choice", "names") and not free)
    for choice, reason in about.choices.items():
        assert choice_label(choice)
        assert reason[0].isupper()
        assert not reason.endswith(".")


def test_messages_are_told_in_labels():
    assert in_labels("raise base.smoothing, or set tracing.dust = 0") == (
        "raise Base: Smoothing, or set Artwork: Dust Under = 0"
    )
    assert in_labels("let preflight.repair thicken it") == "let Repair thicken it"
    assert in_labels("see proof.svg, e.g. job.json") == "see proof.svg, e.g. job.json"


@pytest.mark.parametrize("path", SETTINGS)
def test_each_setting_has_a_panel(path):
    assert panel_of(path)[0].isupper()
