"""Pieces print as they are: at its defaults every one passes the default printer, and reads as it was drawn."""

import pytest
from stampwright import make_artwork
from stampwright.examination import examine_job
from stampwright.job import Job
from stampwright.job.pieces import (
    Barcode,
    DateLine,
    Frame,
    Lettering,
    NumberLine,
    QrCode,
    Ring,
    RoundLettering,
    Rule,
    piece_settings,
)

AS_DRAWN = {"layout.size_by": "page", "layout.centre": "bounds", "base.outline": "follow"}
WORDS = "Mossgate Seed Library, Quay & Fjord: 0123456789"


def forms(kind, name="form", **given):
    return [kind(**{name: form}, **given) for form in piece_settings(kind)[name].choices]


PIECES = (
    Lettering(text="Hello World\nHamburgefonstiv jkqxyz\nABCDEFGHIJKLMNOPQRSTUVWXYZ"),
    Lettering(text=WORDS),
    Lettering(text="Zażółć gęślą jaźń, Ångström, ÄÖÜß àéîõû"),
    RoundLettering(text="Mossgate Seed Library"),
    RoundLettering(text="SOW AND SHARE", side="inside", radius=15.0),
    Ring(),
    Ring(count=3),
    Ring(dots=40),
    *forms(Rule),
    *forms(Frame, "corner"),
    Frame(inner_line=0.8),
    Frame(filled=True),
    *forms(DateLine, date="2026-11-25", label="Received"),
    DateLine(label="Received"),
    NumberLine(),
    NumberLine(number=1234567890),
    QrCode(text="https://mossgate.example/seeds"),
    Barcode(text="401234567890", symbology="ean 13"),
    Barcode(text="MSL-0042"),
)


@pytest.mark.parametrize("piece", PIECES, ids=lambda piece: piece.kind)
def test_every_piece_at_its_defaults_passes_the_default_printer(piece):
    job = Job().with_values(AS_DRAWN)
    assert (job.printer.nozzle, job.ink.spread) == (0.4, 0.1)
    seen = examine_job(job, make_artwork([piece]))
    assert [finding.message for finding in seen.blocked] == []
