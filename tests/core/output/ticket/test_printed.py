"""The ticket prints on two pages of A4, as a browser lays it out."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from stampwright.artwork import Artwork
from stampwright.job import Job
from stampwright.output import write_folder
from stampwright.workshop import make_stamp

from ...watching.browser import CHROMIUM


@pytest.mark.skipif(CHROMIUM is None, reason="takes chromium")
def test_the_ticket_prints_on_two_pages(job: Job, artwork: Artwork, tmp_path: Path) -> None:
    reader = pytest.importorskip("pypdfium2")
    # Finer lines for the die and coarser ones for the rest have more said of them than any other stamp.
    fine = {"printer.nozzle": 0.25, "printer.layer": 0.12, "printer.hard_nozzle": 0.4, "printer.hard_layer": 0.2}
    write_folder(tmp_path / "stamp", make_stamp(job.with_values(fine), artwork))
    printed = tmp_path / "ticket.pdf"
    words = [str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path / 'profile'}"]
    words += ["--no-pdf-header-footer", f"--print-to-pdf={printed}", str(tmp_path / "stamp" / "ticket.html")]
    subprocess.run(words, check=True, capture_output=True, timeout=120)
    assert len(reader.PdfDocument(printed)) == 2
