"""What leaves the program: mesh files, pictures, the proof, the ticket and the report, written whole or not at all."""

from .files import StagedFolder, write_file
from .mesh_files import read_mesh
from .png import png_bytes, write_png
from .stl import read_stl, stl_bytes, write_stl
from .threemf import PrintedPart, threemf_bytes, write_3mf
from .threemf_reading import read_3mf

__all__ = [
    "PrintedPart",
    "StagedFolder",
    "png_bytes",
    "read_3mf",
    "read_mesh",
    "read_stl",
    "stl_bytes",
    "threemf_bytes",
    "write_3mf",
    "write_file",
    "write_png",
    "write_stl",
]
