"""What leaves the program: the folder of a stamp, its proof, ticket and report, and pictures of its parts."""

from .folder import LEAST_IOU, RESULT_FILES, Written, check_folder, printed_parts, write_folder
from .paper.proof import proof_svg
from .pictures.parts_view import view_parts
from .pictures.push_curve import press_curve_page, press_curve_panel, press_curve_svg
from .report import report
from .ticket.page import ticket_html

__all__ = [
    "LEAST_IOU",
    "RESULT_FILES",
    "Written",
    "check_folder",
    "press_curve_page",
    "press_curve_panel",
    "press_curve_svg",
    "printed_parts",
    "proof_svg",
    "report",
    "ticket_html",
    "view_parts",
    "write_folder",
]
