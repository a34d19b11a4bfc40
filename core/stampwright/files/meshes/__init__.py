"""Mesh files: STL for one part, 3MF for all parts of a stamp."""

from .mesh_files import read_mesh
from .stl import read_stl, stl_bytes, write_stl
from .threemf import PrintedPart, threemf_bytes, write_3mf
from .threemf_reading import read_3mf

__all__ = [
    "PrintedPart",
    "read_3mf",
    "read_mesh",
    "read_stl",
    "stl_bytes",
    "threemf_bytes",
    "write_3mf",
    "write_stl",
]
