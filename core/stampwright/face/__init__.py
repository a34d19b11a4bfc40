"""Textured faces: height maps in the paper frame, a face dense enough to bear them, and reading a sculpt back."""

from .dense import FACE, FLANK, FLOOR, HAIR, REST, SET_NAMES, UPRIGHT, DenseDie, raise_dense
from .face_map import FaceMap, untouched
from .files import face_map_bytes, grey_bytes, read_face_map, write_face_map
from .proving import SurfaceProof, prove_surface
from .raising import DieShape, dense_face, face_outlines, relief_heights, shape_die
from .sculpts.reading import Sculpt, read_sculpt
from .sculpts.settling import examine_maps
from .textures.figures import TextureFigures, judge_texture, measure_texture
from .textures.graining import Bead, Grey, LaidPicture, lay_picture, make_grain
from .textures.grains import GRAINS
from .textures.texturing import TexturedFace

__all__ = [
    "FACE",
    "FLANK",
    "FLOOR",
    "GRAINS",
    "HAIR",
    "REST",
    "SET_NAMES",
    "UPRIGHT",
    "Bead",
    "DenseDie",
    "DieShape",
    "FaceMap",
    "Grey",
    "LaidPicture",
    "Sculpt",
    "SurfaceProof",
    "TextureFigures",
    "TexturedFace",
    "dense_face",
    "examine_maps",
    "face_map_bytes",
    "face_outlines",
    "grey_bytes",
    "judge_texture",
    "lay_picture",
    "make_grain",
    "measure_texture",
    "prove_surface",
    "raise_dense",
    "read_face_map",
    "read_sculpt",
    "relief_heights",
    "shape_die",
    "untouched",
    "write_face_map",
]
