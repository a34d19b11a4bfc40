"""Files, written whole or not at all: meshes as STL and 3MF, pictures as PNG, and folders of several."""

from .meshes import PrintedPart, read_3mf, read_mesh, read_stl, stl_bytes, threemf_bytes, write_3mf, write_stl
from .png import check_png, png_bytes, write_png
from .whole import StagedFolder, check_clear, check_new, read_file, write_file

__all__ = [
    "PrintedPart",
    "StagedFolder",
    "check_clear",
    "check_new",
    "check_png",
    "png_bytes",
    "read_3mf",
    "read_file",
    "read_mesh",
    "read_stl",
    "stl_bytes",
    "threemf_bytes",
    "write_3mf",
    "write_file",
    "write_png",
    "write_stl",
]
