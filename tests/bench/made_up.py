"""Drawings, bitmaps, jobs and tables made up by chance, many a second, for whoever reads them to be tried on."""

from __future__ import annotations

import csv
import io
import json
import math
from dataclasses import fields
from random import Random

import numpy as np
from PIL import Image
from stampwright.job import Job
from stampwright.job.job import job_settings
from stampwright.job.pieces import PIECES, piece_settings
from stampwright.job.settings import Setting

from ..core.artwork.fuzzing import (
    HEAD,
    HOLDERS,
    IDS,
    LEAVES,
    PAINTS,
    PATHS,
    PRIMITIVES,
    SHEETS,
    SORTS,
    WORDS,
    spoiled,
)

HEADS = ['width="100" height="100"', 'viewBox="0 0 50 80"', "", 'width="50%"', 'width="1e9mm"']

FORMATS = {
    "png": ("PNG", ("1", "L", "LA", "P", "RGB", "RGBA", "I;16")),
    "jpg": ("JPEG", ("L", "RGB", "CMYK")),
    "tif": ("TIFF", ("1", "L", "P", "RGB", "RGBA", "CMYK", "I;16", "F")),
    "bmp": ("BMP", ("1", "L", "P", "RGB")),
    "webp": ("WEBP", ("RGB", "RGBA")),
}
"""Formats of bitmaps by the ending of the name, and the modes in which they are written."""

ODD_VALUES = [
    *(None, True, False, 0, -1, 1, 3, 0.5, 1e-9, 1e9, 1e308, -1e308, math.inf, -math.inf, math.nan, 10**40),
    *("", "none", "1", "x" * 600, "\x00", "\n", "é\u2028\U0001f331", "../../x", [], {}, [1], [[0, 0], [5, 0], [0, 5]]),
    *([[math.nan, 0]] * 3, [["a", "b"]], {"a": {"b": {}}}, [None], ["sliver", 7]),
]


SETTINGS = list(job_settings(Job()))
"""Path, default and description of every setting of a job."""

ODD_TYPED = [
    *("", " ", "nan", "inf", "-inf", "1e999", "1e-400", "-0", "0x10", "1_000", "١٢", "1,5", "½", "6 cm", "6 inch"),
    *("true", "yes", "None", "[", "[]", "[[0,0]]", '{"a":1}', "=", "a=b", "\x00", "\n", "\x1b[31m", "\u202e"),
    *("9" * 400, "6cm"),
    *("[" * 60, "1e5mm", "3in", "20°", "5 %", "5%", "12 N", "auto", "../x", "0.1.2", "+3", "--3", "1e-9m"),
]

COLUMNS = [
    *("name", "text", "count", "quantity", "die.relief", "base.width", "artwork", "pieces[1].text", "font", "é"),
    *("seen",),
    *("", "name ", "=x", "a\tb", "\u202ex", "x" * 40, "1", "order"),
]

CELLS = [
    *("", "1", "-1", "0", "007", "1.5", "2e3", "nan", "yes", "no", "Rowan Bell", "Ilse 'Moss' Vey"),
    *('a "b" c', "a,b;c\td", "x" * 3100),
    *("=1+1", "+x", "-x", "@x", "\u00a0=x", "＝x", "line\nbreak", "\r", "\x00", "\ufeff", "\u202ex", "é" * 50),
    *("mark.svg", "../mark.svg", "round", "45mm"),
]


def drawing(chance: Random) -> str:
    """Return a drawing by the grammar of the tests, with ink in it."""
    body = "".join(_element(chance, 3) for _ in range(chance.randrange(5)))
    return HEAD.format(chance.choice(HEADS), body + '<path d="M1 1h9v9z"/>')


def _element(chance: Random, depth: int) -> str:
    name = chance.choice(HOLDERS + LEAVES + PRIMITIVES)
    if name == "style":
        return f"<style>{chance.choice(SHEETS)}</style>"
    given = dict(_attribute(chance) for _ in range(chance.randrange(6)))
    if chance.random() < 0.5:
        given["id"] = chance.choice(IDS)
    if name in {"use", "textPath", "image", "linearGradient", "radialGradient", "pattern"} and chance.random() < 0.5:
        given["href"] = "#" + chance.choice(IDS)
    if name in {"path", "line", "rect", "circle"}:
        given = {"d": chance.choice(PATHS), "stroke": chance.choice(PAINTS), "width": "40", "height": "40"} | given
        given.setdefault("r", "40")
    written = "".join(f' {key}="{value}"' for key, value in given.items())
    count = chance.randrange(4) if name in HOLDERS and depth else 0
    held = "".join(_element(chance, depth - 1) for _ in range(count))
    if name in {"text", "tspan", "textPath"}:
        held += "".join(chance.choices("Aj g\u00e9\u05d0\U0001f331\n", k=chance.randrange(9)))
    return f"<{name}{written}>{held}</{name}>"


def _attribute(chance: Random) -> tuple[str, str]:
    names, values, most = chance.choice(SORTS)
    name = chance.choice(names)
    possible = WORDS[name] if values is None else values
    return name, " ".join(chance.choices(possible, k=chance.randint(1, most)))


def bitmap(chance: Random) -> tuple[str, bytes]:
    """Return the ending of a bitmap's name, and the bitmap: of any mode, a pixel or more, noise or shapes or none."""
    ending = chance.choice(list(FORMATS))
    form, modes = FORMATS[ending]
    grain = np.random.default_rng(chance.getrandbits(32))
    height, width = (int(side) for side in grain.integers(1, chance.choice((2, 12, 80)), 2))
    y, x = np.mgrid[0:height, 0:width]
    sample = {
        "noise": lambda: grain.integers(0, 256, (height, width)),
        "shapes": lambda: np.where(np.hypot(x - width / 2, y - height / 2) < width / 3, 0, 255),
        "ramp": lambda: x * 255 // width,
        "stripes": lambda: np.where(x % 2, 0, 255),
        "flat": lambda: np.full((height, width), chance.choice((0, 128, 255))),
    }[chance.choice(("noise", "shapes", "ramp", "stripes", "flat"))]()
    mode = chance.choice(modes)
    grey = Image.fromarray(sample.astype(np.uint8))
    image = Image.fromarray((sample * 257).astype(np.uint16)) if mode == "I;16" else grey.convert(mode)
    about = {} if chance.random() < 0.5 else {"dpi": (chance.choice((1, 72, 300, 9999)),) * 2}
    stream = io.BytesIO()
    image.save(stream, form, **about)
    return ending, stream.getvalue()


def job_data(chance: Random) -> dict[str, object]:
    """Return plain data as a job file holds it: some settings changed, most of them to what they take."""
    data: dict[str, object] = {}
    for _ in range(chance.randrange(1, 9)):
        path, value, about = chance.choice(SETTINGS)
        *inner, name = path.split(".")
        place = data
        for section in inner:
            place = place.setdefault(section, {})
        if chance.random() < 0.02:
            name = chance.choice((name + "x", "", name.upper()))
        place[name] = _value(chance, value, about)
    if chance.random() < 0.05:
        data[chance.choice([field.name for field in fields(Job)])] = chance.choice(ODD_VALUES)
    return data


def setting_typed(chance: Random) -> str:
    """Return a setting as it is typed on a command line, most of them with what it takes."""
    path, value, about = chance.choice(SETTINGS)
    found = chance.choice(ODD_TYPED) if chance.random() < 0.3 else str(_value(chance, value, about))
    if chance.random() < 0.03:
        path = chance.choice((path + "x", path.upper(), path.partition(".")[2], path[1:], f" {path} "))
    return f"{path}={found}" if chance.random() < 0.99 else path


def pieces_data(chance: Random) -> list[dict[str, object]]:
    """Return a few pieces as plain data, most of their settings of what they take."""
    pieces = []
    for _ in range(chance.randrange(1, 4)):
        kind = chance.choice(list(PIECES))
        known = piece_settings(PIECES[kind])
        data: dict[str, object] = {"kind": kind if chance.random() < 0.98 else chance.choice(ODD_VALUES)}
        for name in chance.choices(list(known), k=chance.randrange(5)):
            data[name] = _value(chance, getattr(PIECES[kind](), name), known[name])
        if chance.random() < 0.02:
            data[chance.choice(("texts", "", "kind"))] = chance.choice(ODD_VALUES)
        pieces.append(data)
    return pieces


def table_typed(chance: Random) -> bytes:
    """Return a table of orders, between commas, semicolons or tabs, or lines of JSON, now and then out of shape."""
    columns = chance.sample(COLUMNS, chance.randrange(1, 6)) if chance.random() < 0.5 else ["name", "text", "count"]
    rows = [[chance.choice(CELLS) for _ in columns] for _ in range(chance.randrange(5))]
    if chance.random() < 0.2:
        lines = [json.dumps(dict(zip(columns, row, strict=True)), ensure_ascii=chance.random() < 0.5) for row in rows]
        text = "\n".join(lines)
    else:
        stream = io.StringIO(newline="")
        quoting = chance.choice((csv.QUOTE_MINIMAL, csv.QUOTE_ALL))
        writer = csv.writer(stream, delimiter=chance.choice(",;\t"), quoting=quoting)
        writer.writerows([columns, *rows])
        text = stream.getvalue()
    data = text.encode(chance.choice(("utf-8", "utf-8", "utf-8", "utf-8-sig", "utf-16")), "replace")
    return spoiled(data, chance) if chance.random() < 0.3 else data


def _value(chance: Random, value: object, about: Setting) -> object:
    if chance.random() < 0.2:
        return chance.choice(ODD_VALUES)
    if about.choices:
        return chance.choice(list(about.choices))
    if isinstance(value, bool):
        return chance.random() < 0.5
    if isinstance(value, int | float):
        low, high = (-1e3 if about.low is None else about.low), (1e3 if about.high is None else about.high)
        found = chance.choice((low, high, chance.uniform(low, high), chance.uniform(low, high)))
        return round(found) if isinstance(value, int) else found
    return value
