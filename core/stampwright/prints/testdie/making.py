"""A test die as a job and artwork, to be made by the workshop like any stamp."""

from __future__ import annotations

from dataclasses import replace

import shapely
from shapely import affinity

from ...artwork import Artwork
from ...artwork.sources import SourceFile, Sources
from ...job import Job
from ...job.kinds import KINDS
from .chart import Chart, draw_chart
from .symbols import fingerprint

NAME = "Test die"
DRAWING = "test-chart.svg"

_CORNER = 3.0  # radius of the base's corners, mm


def job_of_test_die(job: Job, size: float) -> Job:
    """Return the job of a test die for the printer, ink and materials of another job.

    Its face is plain and its lines are as thin as they are on purpose: every kind of finding that says so is accepted,
    and warns. Nothing is repaired, drawn in or left out. Raises :class:`~stampwright.errors.JobError` when no base is
    of that size.
    """
    plain = Job()
    kept = replace(
        plain,
        printer=job.printer,
        ink=job.ink,
        press=job.press,
        die=job.die,
        backing=job.backing,
        cushion=job.cushion,
        price=job.price,
    )
    return kept.with_values(
        {
            "name": NAME,
            "base.outline": "rectangle",
            "base.width": size,
            "base.height": size,
            "base.corner_radius": _CORNER,
            "layout.size_by": "page",
            "layout.centre": "page",
            "die.compensate_spread": False,
            "handle.form": "none",
            "preflight.accept": list(KINDS),
        }
    )


def chart_of(job: Job) -> Chart:
    """Return the chart that a test die of this job bears; raises :class:`~stampwright.errors.JobError`."""
    return draw_chart(job.base.width, job.printer.line_width, fingerprint(job))


def artwork_of_chart(chart: Chart) -> Artwork:
    """Return a chart as artwork, with its drawing as the file that it comes from, so that it can be made again."""
    half = chart.size / 2.0
    drawing = SourceFile(DRAWING, chart_svg(chart).encode("utf-8"))
    inked = affinity.translate(chart.inked, half, half)
    return Artwork(
        shapely.MultiPolygon(list(shapely.get_parts(inked))),
        (chart.size, chart.size),
        name=NAME,
        true_size=True,
        sources=Sources(file=drawing),
    )


def chart_svg(chart: Chart) -> str:
    """Return a chart as an SVG drawing at true size."""
    half, size = chart.size / 2.0, f"{chart.size:g}"
    paths = []
    for part in shapely.get_parts(chart.inked):
        rings = [part.exterior, *part.interiors]
        steps = ["M" + " L".join(f"{x + half:.5f} {half - y:.5f}" for x, y in ring.coords[:-1]) + "Z" for ring in rings]
        paths.append(f'<path fill-rule="evenodd" d="{" ".join(steps)}"/>')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}mm" height="{size}mm" viewBox="0 0 {size} {size}">\n'
        f"<title>{NAME}: {chart.says}</title>\n" + "\n".join(paths) + "\n</svg>\n"
    )
