"""The test die: a chart that measures itself when stamped, as a job and artwork, and gauges to be tried by hand."""

from .chart import DIRECTIONS, LARGEST, SMALLEST, Chart, InkPatch, Rung, draw_chart
from .gauges import CLEARANCES, height_comb, seat_gauge, seat_peg
from .making import DRAWING, artwork_of_chart, chart_of, chart_svg, job_of_test_die
from .symbols import fingerprint
from .writing import GAUGES, write_test_die

__all__ = [
    "CLEARANCES",
    "DIRECTIONS",
    "DRAWING",
    "GAUGES",
    "LARGEST",
    "SMALLEST",
    "Chart",
    "InkPatch",
    "Rung",
    "artwork_of_chart",
    "chart_of",
    "chart_svg",
    "draw_chart",
    "fingerprint",
    "height_comb",
    "job_of_test_die",
    "seat_gauge",
    "seat_peg",
    "write_test_die",
]
