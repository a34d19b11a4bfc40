"""What leaves the program: mesh files, pictures, the proof, the ticket and the report, written whole or not at all."""

from .files import StagedFolder, write_file
from .meshes import (
    PrintedPart,
    read_3mf,
    read_mesh,
    read_stl,
    stl_bytes,
    threemf_bytes,
    write_3mf,
    write_stl,
)
from .paper.png import png_bytes, write_png

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
