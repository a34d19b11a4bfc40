"""Pieces as figures: checked, named in messages, and kept in job files."""

from __future__ import annotations

import pytest
from stampwright.errors import JobError
from stampwright.job import Job
from stampwright.job.pieces import PIECES, Lettering, QrCode, Ring, pieces_as_data, pieces_from_data
from stampwright.job.written.files import job_as_json, job_as_toml, job_from_json, job_from_toml


def test_job_keeps_its_pieces_in_both_kinds_of_file():
    job = Job(
        pieces=(
            Ring(diameter=40.0),
            Lettering(text="\n".join(("Mossgate", 'Seeds "lent" \\ grown')), y=-3.5),
            QrCode(text="é"),
        )
    )
    assert job_from_toml(job_as_toml(job)) == job
    assert job_from_json(job_as_json(job)) == job


def test_every_kind_survives_as_plain_data():
    pieces = tuple(kind(x=1.5, knock_out=True) for kind in PIECES.values())
    assert pieces_from_data(pieces_as_data(pieces)) == pieces


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({}, "list of tables"),
        (["ring"], r"pieces\[1\] is a table"),
        ([{"kind": "star"}], "kind of piece"),
        ([{"kind": ["ring"]}], "kind of piece"),
        ([{"kind": "ring"}, {"kind": "ring", "diametre": 3}], r"pieces\[2\].*nearest: diameter"),
        ([{"kind": "ring", "diameter": -3}], r"pieces\[1\]: ring.diameter = -3 is not allowed"),
        ([{"kind": "ring", "diameter": "wide"}], "ring.diameter"),
        ([{"kind": "ring", "diameter": float("nan")}], "ring.diameter"),
        ([{"kind": "lettering", "lines": 3}], "lettering.text"),
        ([{"kind": "lettering", "lines": ["a"], "text": "a"}], "old name of text"),
        ([{"kind": "qr", "text": 3}], "qr.text"),
        ([{"kind": "ring"}] * 501, "500 at most"),
    ],
)
def test_bad_pieces_are_named(data, said):
    with pytest.raises(JobError, match=said):
        pieces_from_data(data)


def test_text_is_called_so_in_every_kind_and_may_be_a_list_in_lettering():
    tables = [{"lines": ["Mossgate", "Seeds"]}, {"text": ["Mossgate", "Seeds"]}, {"text": "Mossgate\nSeeds"}]
    pieces = pieces_from_data([{"kind": "lettering", **table} for table in tables])
    assert pieces == (Lettering(text="Mossgate\nSeeds"),) * 3
    assert pieces_as_data(pieces)[0] == {"kind": "lettering", "text": "Mossgate\nSeeds"}
