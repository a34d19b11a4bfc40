"""Height maps as pictures that any drawing program opens: 16-bit PNG and float TIFF, with place and depth recorded."""

from __future__ import annotations

import io
import json
import math
import warnings
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, PngImagePlugin, TiffImagePlugin

from ..errors import JobError, OutputError
from ..files import write_file
from .face_map import MOST_SAMPLES, FaceMap

PNG, TIFF = ".png", ".tif"
"""Kinds of file, by the end of their names (``.tiff`` is read too)."""

_RECORD = "stampwright height map"
_DESCRIPTION = 270  # TIFF 6.0, ImageDescription
_LEVELS = 65535


def write_face_map(path: str | Path, face_map: FaceMap) -> None:
    """Write a height map into a file, over one that is there, as its name's end says; raises :class:`OutputError`."""
    path = Path(path)
    write_file(path, face_map_bytes(face_map, path.suffix.lower()), overwrite=True)


def face_map_bytes(face_map: FaceMap, kind: str = TIFF) -> bytes:
    """Return a height map as the content of a picture file, top row first.

    A float TIFF holds the heights themselves, mm. A 16-bit PNG holds levels from black, the lowest, to white, the
    highest, and is true to half a level: a thousandth of a millimetre over 60 mm of height. Either records, in its
    description, mm per level, the height of level 0, spacing and corner. Raises :class:`OutputError` for another kind.
    """
    upright = np.ascontiguousarray(face_map.heights[::-1])
    low, high = float(upright.min()), float(upright.max())
    record: dict[str, Any] = {"spacing": face_map.spacing, "corner": list(face_map.corner)}
    dpi = 25.4 / face_map.spacing
    stream = io.BytesIO()
    if kind == PNG:
        per_level = (high - low) / _LEVELS or 1.0 / _LEVELS
        levels = np.rint((upright.astype(np.float64) - low) / per_level).astype(np.uint16)
        record |= {"mm_per_level": per_level, "mm_at_level_0": low}
        text = PngImagePlugin.PngInfo()
        text.add_text(_RECORD, json.dumps(record))
        Image.fromarray(levels).save(stream, "PNG", pnginfo=text, dpi=(dpi, dpi))
    elif kind in (TIFF, ".tiff"):
        record |= {"mm_per_level": 1.0, "mm_at_level_0": 0.0}
        tags = TiffImagePlugin.ImageFileDirectory_v2()
        tags[_DESCRIPTION] = json.dumps({_RECORD: record})
        Image.fromarray(upright).save(stream, "TIFF", tiffinfo=tags, compression="tiff_adobe_deflate", dpi=(dpi, dpi))
    else:
        raise OutputError(f"a height map is kept as {PNG} or {TIFF}, not as {kind or 'a file without an ending'}")
    return stream.getvalue()


def grey_bytes(grey: NDArray[np.floating]) -> bytes:
    """Return a grey picture, (rows, columns), 0 dark to 1 light, as a 16-bit PNG."""
    stream = io.BytesIO()
    levels = np.rint(np.clip(grey.astype(np.float64), 0.0, 1.0) * _LEVELS).astype(np.uint16)
    Image.fromarray(levels).save(stream, "PNG")
    return stream.getvalue()


def read_face_map(path: str | Path) -> FaceMap:
    """Read a height map that records its place and depth; raises :class:`JobError` when the file is none."""
    path = Path(path)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path, formats=("PNG", "TIFF")) as image:
                if image.width * image.height > MOST_SAMPLES:
                    raise JobError(f"{path}: more than {MOST_SAMPLES:,} samples are too many for a face; scale it down")
                record = _recorded(image)
                levels = np.asarray(image, dtype=np.float64)
    except JobError:
        raise
    except OSError as error:
        reason = error.strerror or "it is no PNG or TIFF"
        raise JobError(f"{path}: the height map cannot be read ({reason}); check the name") from error
    # A broken file makes the decoders raise whatever they stumble over.
    except Exception as error:
        raise JobError(f"{path}: the height map is damaged or broken off ({error}); export it again") from error
    if record is None:
        raise JobError(
            f"{path}: nothing in it says where it lies and how deep it is, so it is no sculpt; to use it as a texture, "
            "set face.picture to it and face.texture to picture"
        )
    if levels.ndim != 2:
        raise JobError(f"{path}: a height map is grey, and this picture has colours; save it as grey, 16-bit or float")
    heights = record["mm_at_level_0"] + record["mm_per_level"] * levels[::-1]
    if not np.isfinite(heights).all() or np.abs(heights).max(initial=0.0) > _DEEPEST:
        raise JobError(f"{path}: the height map has heights that no face has; export it again")
    return FaceMap(heights.astype(np.float32), (record["corner"][0], record["corner"][1]), record["spacing"])


_DEEPEST = 100.0
"""Heights beyond this, mm, are no face's."""


def _recorded(image: Image.Image) -> dict[str, Any] | None:
    """Return the record of a height map, or None where there is none that holds."""
    try:
        if image.format == "PNG":
            record = json.loads(image.info[_RECORD])
        else:
            record = json.loads(image.tag_v2[_DESCRIPTION])[_RECORD]  # type: ignore[attr-defined]
        x, y = record["corner"]
        numbers = [float(each) for each in (x, y, record["spacing"], record["mm_per_level"], record["mm_at_level_0"])]
    except (KeyError, ValueError, TypeError, AttributeError):
        return None
    # A sample each thousandth of a millimetre is finer than any printer; one each 100 mm is no map of a stamp.
    if not all(map(math.isfinite, numbers)) or not 1e-3 <= numbers[2] <= 100.0 or max(map(abs, numbers[:2])) > 1e4:
        return None
    return {"corner": numbers[:2], "spacing": numbers[2], "mm_per_level": numbers[3], "mm_at_level_0": numbers[4]}
