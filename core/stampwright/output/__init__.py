"""What leaves the program: mesh files, pictures, the proof, the ticket and the report, written whole or not at all."""

from .files import StagedFolder, write_file
from .folder import LEAST_IOU, RESULT_FILES, Written, check_folder, printed_parts, write_folder
from .meshes import PrintedPart, read_3mf, read_mesh, read_stl, stl_bytes, threemf_bytes, write_3mf, write_stl
from .paper.proof import proof_svg
from .pictures.parts_view import view_parts
from .pictures.png import png_bytes, write_picture, write_png
from .pictures.push_curve import press_curve_page, press_curve_panel, press_curve_svg
from .report import report
from .ticket.page import ticket_html

__all__ = [
    "LEAST_IOU",
    "RESULT_FILES",
    "PrintedPart",
    "StagedFolder",
    "Written",
    "check_folder",
    "png_bytes",
    "press_curve_page",
    "press_curve_panel",
    "press_curve_svg",
    "printed_parts",
    "proof_svg",
    "read_3mf",
    "read_mesh",
    "read_stl",
    "report",
    "stl_bytes",
    "threemf_bytes",
    "ticket_html",
    "view_parts",
    "write_3mf",
    "write_file",
    "write_folder",
    "write_picture",
    "write_png",
    "write_stl",
]
