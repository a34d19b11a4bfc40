"""What leaves the program: the folder of a stamp, its proof, ticket and report, and pictures of its parts."""

from .folder import PLATES, RESULT_FILES, Written, check_folder, printed_parts, write_folder
from .paper.proof import proof_svg
from .pictures.parts_view import view_parts
from .pictures.push_curve import push_curve_page, push_curve_panel, push_curve_svg
from .proving import LEAST_IOU
from .report import report
from .sheets.examined import check_form, examination_body, examination_file, html_page, sheet_title
from .ticket.page import ticket_html
from .wanted import Wanted

__all__ = [
    "LEAST_IOU",
    "PLATES",
    "RESULT_FILES",
    "Wanted",
    "Written",
    "check_folder",
    "check_form",
    "examination_body",
    "examination_file",
    "html_page",
    "printed_parts",
    "proof_svg",
    "push_curve_page",
    "push_curve_panel",
    "push_curve_svg",
    "report",
    "sheet_title",
    "ticket_html",
    "view_parts",
    "write_folder",
]
