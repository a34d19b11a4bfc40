"""The type case: which fonts are at hand, and the one that comes nearest to what was asked for."""

from __future__ import annotations

import math
import os
import re
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from html import unescape
from pathlib import Path
from typing import Any

import uharfbuzz as harfbuzz

from ...errors import ArtworkError, reason_of
from ...findings import Finding

BUNDLED_FOLDER = Path(__file__).parent / "bundled"
BUNDLED_FAMILY = "Noto Sans"

LARGEST_FONT = 64_000_000
"""Bytes; a larger file in a font folder is passed over, and refused when it is named."""

MOST_FONT_FILES = 20_000
"""Files looked at in the system's font folders."""

MOST_INSTANCES = 500
"""Named styles of a variable font that are known by name."""

OBLIQUE = 14.0
"""Degrees by which letters are slanted (CSS Fonts Level 4, section 2.4)."""

_SLANTED = frozenset(("italic", "oblique", f"oblique {OBLIQUE:g}deg"))
"""Styles for which upright letters are slanted; renderers leave them upright where another angle is asked for."""

_ESCAPED = re.compile(r"\\([0-9A-Fa-f]{1,6})\s?")
"""How style sheets write a letter by its number (CSS Syntax Level 3, section 4.3.7)."""

_SUFFIXES = {".ttf", ".otf", ".ttc", ".otc"}

# Families that systems bring along, best first, for the generic names of CSS Fonts Level 4, section 2.1.4.
_GENERIC = {
    "sans-serif": (BUNDLED_FAMILY,),
    "system-ui": (BUNDLED_FAMILY,),
    "ui-sans-serif": (BUNDLED_FAMILY,),
    "serif": ("Noto Serif", "DejaVu Serif", "Liberation Serif", "Times New Roman", "Times"),
    "ui-serif": ("Noto Serif", "DejaVu Serif", "Liberation Serif", "Times New Roman", "Times"),
    "monospace": ("Noto Sans Mono", "DejaVu Sans Mono", "Liberation Mono", "Courier New", "Courier"),
    "ui-monospace": ("Noto Sans Mono", "DejaVu Sans Mono", "Liberation Mono", "Courier New", "Courier"),
}


@dataclass(frozen=True)
class Font:
    """One face of a font file, at one weight.

    ``number``: which face of a collection. ``weight``: 1 to 1000, 400 regular, 700 bold. ``weights``: lightest and
    heaviest that the file can give; they differ in a variable font. ``width``: per cent of normal. ``settings``:
    places on other axes of a variable font, by their names in the file. ``slant``: deg by which its letters, upright in
    the file, are made to lean, 0 where they stand as drawn.
    """

    path: Path
    number: int
    family: str
    weight: float
    italic: bool
    weights: tuple[float, float]
    width: float = 100.0
    settings: tuple[tuple[str, float], ...] = ()
    slant: float = 0.0

    @property
    def label(self) -> str:
        """Family and style as said to the user."""
        return f"{self.family} {self.weight:g}{' italic' if self.italic else ''}"


def find_font(
    family: str | Sequence[str] = (),
    weight: float = 400,
    style: str = "normal",
    *,
    width: float = 100.0,
    slanted: bool = True,
    folders: Iterable[Path] | None = None,
) -> tuple[Font, tuple[Finding, ...]]:
    """Return the font that comes nearest to a family, weight and style, and what had to be substituted.

    ``family``: a name, or several in order of preference (a CSS list as text will do); generic names such as
    ``serif`` are known. A full name or PostScript name, as drawing programs write it, gives just that font. ``weight``:
    1 to 1000. ``style``: ``normal``, ``italic`` or ``oblique``, which may name an angle. ``width``: per cent of normal.
    ``slanted``: whether upright letters may be slanted where italic ones are not at hand. ``folders``: where to look,
    the system's font folders when None. The bundled open font is always at hand; when it stands in for another
    family, a finding names both. Weights are matched by CSS Fonts Level 4, section 5.2.
    """
    wanted = [name.strip().strip("\"'") for name in (family.split(",") if isinstance(family, str) else family)]
    wanted = [name for name in wanted if name]
    searched = looked_in(folders)
    style = style.strip().lower()
    italic = style != "normal"
    lean = OBLIQUE if slanted and style in _SLANTED else 0.0
    for name in wanted:
        fonts = fonts_of_family(name.lower(), searched)
        if fonts:
            font = _leaning(_nearest_style(fonts, weight, italic, width), lean)
            # Of a family of four styles, the name itself may ask for a weight or width.
            known = {each.lower() for each in _GENERIC.get(name.lower(), (name,))}
            in_name = font.family.lower() not in known
            return font, () if in_name else _style_findings(font, weight, italic)
        for folder in (searched, (BUNDLED_FOLDER,)):
            named = _at_hand(folder).named.get(_plain(name))
            if named is not None:
                return named, ()
    bundled = _at_hand((BUNDLED_FOLDER,)).families[BUNDLED_FAMILY.lower()]
    font = _leaning(_nearest_style(bundled, weight, italic, width), lean)
    if not wanted:
        return font, _style_findings(font, weight, italic)
    return font, (_substituted(wanted[0], font), *_style_findings(font, weight, italic))


def read_font(path: str | Path, weight: float | None = None) -> Font:
    """Return the first font of a file; ``weight`` chooses within a variable font.

    Raises :class:`ArtworkError` when the file is missing, too large or holds no usable font.
    """
    path = Path(path)
    try:
        size = path.stat().st_size
    except OSError as error:
        raise ArtworkError(f"{path}: cannot be read ({reason_of(error)}); check the name") from error
    if size > LARGEST_FONT:
        raise ArtworkError(
            f"{path}: {size} bytes are more than a font has (at most {LARGEST_FONT}); raise fonts.case.LARGEST_FONT"
        )
    fonts = _fonts_in(path)
    if not fonts:
        raise ArtworkError(f"{path}: holds no usable font; a TrueType or OpenType file with outlines is needed")
    return fonts[0] if weight is None else _at_weight(fonts[0], weight)


def fonts_named_in(text: str, *, folders: Iterable[Path] | None = None) -> tuple[Path, ...]:
    """Return the files of all fonts that a text may ask for: at hand, and with a name that occurs in it.

    ``text``: a list of families, or a whole drawing; what it escapes is read as it is meant. ``folders``: as for
    :func:`find_font`. Rather a file too many than one too few: it is what must be the same for the same letters.
    """
    return _named_in(text, looked_in(folders))


@lru_cache(maxsize=64)
def _named_in(text: str, folders: tuple[Path, ...]) -> tuple[Path, ...]:
    meant = _plain(_ESCAPED.sub(lambda code: chr(min(int(code[1], 16), sys.maxunicode)), unescape(text)))
    case = _at_hand(folders)
    families = {name for name in case.families if _plain(name) in meant}
    for generic, stand_ins in _GENERIC.items():
        if _plain(generic) in meant:
            families |= {name.lower() for name in stand_ins}
    found = {font.path for name in families for font in case.families.get(name, ())}
    return tuple(sorted(found | {font.path for name, font in case.named.items() if name in meant}))


def families_at_hand(folders: Iterable[Path] | None = None) -> tuple[str, ...]:
    """Return the families at hand, in lower case and in order; ``folders``: as for :func:`find_font`."""
    return tuple(sorted(_at_hand(looked_in(folders)).families))


def fonts_of_family(family: str, folders: Iterable[Path] | None = None) -> tuple[Font, ...]:
    """Return all fonts at hand of a family or a generic name, in lower case; ``folders``: as for :func:`find_font`."""
    for known in _GENERIC.get(family, (family,)):
        bundled = _at_hand((BUNDLED_FOLDER,)).families.get(known.lower(), ())
        fonts = _at_hand(looked_in(folders)).families.get(known.lower(), bundled)
        if fonts:
            return fonts
    return ()


def nearest_style(fonts: Sequence[Font], font: Font) -> Font:
    """Return the one of several fonts whose style is nearest to that of ``font``, as slanted as that."""
    angle = font.slant or (OBLIQUE if font.italic else 0.0)
    return _leaning(_nearest_style(fonts, font.weight, angle != 0, font.width), angle)


def varied(font: Font, wanted: Mapping[str, float]) -> Font:
    """Return a variable font at places on its axes, each brought within the axis; what has no such axis stays.

    ``wanted``: by the axis's name in the file, such as wdth (per cent) or wght.
    """
    axes = {
        axis.tag: axis for axis in harfbuzz.Face(harfbuzz.Blob.from_file_path(str(font.path)), font.number).axis_infos
    }
    settings = {
        tag: min(max(value, axes[tag].min_value), axes[tag].max_value) for tag, value in wanted.items() if tag in axes
    }
    return replace(font, settings=tuple(sorted(settings.items()))) if settings else font


@lru_cache(maxsize=64)
def opened(font: Font) -> Any:
    """Return the shaping engine's font for ``font``, scaled in font units."""
    face = harfbuzz.Font(harfbuzz.Face(harfbuzz.Blob.from_file_path(str(font.path)), font.number))
    if font.weights[0] < font.weights[1] or font.settings:
        face.set_variations({"wght": font.weight, **dict(font.settings)})
    if font.slant:
        face.synthetic_slant = math.tan(math.radians(font.slant))
    return face


def looked_in(folders: Iterable[Path] | None) -> tuple[Path, ...]:
    """Return the folders that fonts are looked for in: those given, or the system's where None are."""
    return _system_folders() if folders is None else tuple(Path(folder) for folder in folders)


def _system_folders() -> tuple[Path, ...]:
    home = Path.home()
    if sys.platform == "win32":
        windows = Path(os.environ.get("WINDIR", "C:/Windows")) / "Fonts"
        local = os.environ.get("LOCALAPPDATA")
        return (windows, Path(local) / "Microsoft/Windows/Fonts") if local else (windows,)
    if sys.platform == "darwin":
        return (home / "Library/Fonts", Path("/Library/Fonts"), Path("/System/Library/Fonts"))
    own = Path(os.environ.get("XDG_DATA_HOME") or home / ".local/share")
    shared = (os.environ.get("XDG_DATA_DIRS") or "/usr/local/share:/usr/share").split(":")
    return (own / "fonts", home / ".fonts", *(Path(folder) / "fonts" for folder in shared if folder))


@dataclass(frozen=True)
class _Case:
    """Fonts in folders: by family in lower case, and single ones by full and PostScript name (see :func:`_plain`)."""

    families: Mapping[str, tuple[Font, ...]]
    named: Mapping[str, Font]


@lru_cache(maxsize=16)
def _at_hand(folders: tuple[Path, ...]) -> _Case:
    """Return every font in the folders and below them; looked up once a run."""
    families: dict[str, list[Font]] = {}
    named: dict[str, Font] = {}
    seen = 0
    for folder in folders:
        for inside, below, names in os.walk(folder):
            below.sort()
            for name in sorted(names):
                path = Path(inside, name)
                if path.suffix.lower() not in _SUFFIXES or seen >= MOST_FONT_FILES:
                    continue
                seen += 1
                for font, also in _described_in(path):
                    for family in dict.fromkeys((font.family.lower(), also.family.lower())):
                        families.setdefault(family, []).append(font)
                    for own, one in also.single:
                        named.setdefault(_plain(own), one)
    return _Case({family: tuple(fonts) for family, fonts in families.items()}, named)


def _plain(name: str) -> str:
    """Return a font's name as it is compared: programs differ in capitals, spaces and hyphens."""
    return re.sub(r"[\s_-]+", "", name).casefold()


def _fonts_in(path: Path) -> list[Font]:
    """Return the usable fonts of one file; none when it is broken."""
    return [font for font, _ in _described_in(path)]


@dataclass(frozen=True)
class _FontNames:
    """What else a font is called: its family where only four styles make one, and names of single fonts."""

    family: str
    single: tuple[tuple[str, Font], ...]


def _described_in(path: Path) -> list[tuple[Font, _FontNames]]:
    try:
        if not 0 < path.stat().st_size <= LARGEST_FONT:
            return []
        blob = harfbuzz.Blob.from_file_path(str(path))
    except (OSError, harfbuzz.HarfBuzzError):
        return []
    count = min(harfbuzz.Face(blob).count, 256)
    return [found for number in range(count) if (found := _described(path, blob, number)) is not None]


def _described(path: Path, blob: Any, number: int) -> tuple[Font, _FontNames] | None:
    face = harfbuzz.Face(blob, number)
    names = harfbuzz.OTNameIdPredefined
    family = face.get_name(names.TYPOGRAPHIC_FAMILY) or face.get_name(names.FONT_FAMILY)
    # Asked by length, not by face.table_tags: that raises on a directory that is no text.
    has_outlines = any(len(face.reference_table(tag)) for tag in ("glyf", "CFF ", "CFF2"))
    if not face.glyph_count or not family or not has_outlines or not face.unicodes:
        return None
    style = harfbuzz.Font(face)
    weight = style.get_style_value(harfbuzz.StyleTag.WEIGHT)
    weights = next(((axis.min_value, axis.max_value) for axis in face.axis_infos if axis.tag == "wght"), None)
    slanted = style.get_style_value(harfbuzz.StyleTag.ITALIC) > 0
    slanted = slanted or style.get_style_value(harfbuzz.StyleTag.SLANT_ANGLE) != 0
    width = style.get_style_value(harfbuzz.StyleTag.WIDTH)
    font = Font(path, number, family.strip(), weight, slanted, weights or (weight, weight), width)
    own = [face.get_name(each) for each in (names.FULL_NAME, names.POSTSCRIPT_NAME)]
    single = [(name, font) for name in own if name]
    return font, _FontNames((face.get_name(names.FONT_FAMILY) or family).strip(), (*single, *_instances(face, font)))


def _instances(face: Any, font: Font) -> list[tuple[str, Font]]:
    """Return the named places on a variable font's axes, by full and PostScript name (OpenType, fvar)."""
    found = []
    for instance in face.named_instances[:MOST_INSTANCES]:
        places = dict(zip((axis.tag for axis in face.axis_infos), instance.design_coords, strict=False))
        one = replace(font, weight=places.pop("wght", font.weight), settings=tuple(sorted(places.items())))
        style, postscript = face.get_name(instance.subfamily_name_id), face.get_name(instance.postscript_name_id)
        found += [(f"{font.family} {style}", one)] if style else []
        found += [(postscript, one)] if postscript else []
    return found


def _nearest_style(fonts: Sequence[Font], weight: float, italic: bool, width: float) -> Font:
    def distance(font: Font) -> tuple[bool, float, bool, int, float]:
        found = min(max(weight, font.weights[0]), font.weights[1])
        # The order in which other weights stand in: 400 and 500 look up to 500 first, lighter ones look down first.
        first = found == weight or weight <= found <= 500 <= weight + 100
        rank = 0 if first else 1 if (found <= weight) == (weight <= 500) else 2
        # Widths up to normal look among narrower ones first, wider ones among wider ones.
        beyond = font.width > width if width <= 100 else font.width < width
        return beyond, abs(font.width - width), font.italic != italic, rank, abs(found - weight)

    return _at_weight(min(fonts, key=distance), weight)


def _at_weight(font: Font, weight: float) -> Font:
    nearest = min(max(weight, font.weights[0]), font.weights[1])
    return replace(font, weight=nearest, settings=(), slant=0.0)


def _leaning(font: Font, angle: float) -> Font:
    """Return a font slanted by an angle, deg, unless its letters lean by themselves."""
    return replace(font, slant=angle) if angle and not font.italic else font


def _substituted(wanted: str, font: Font) -> Finding:
    return Finding(
        kind="font substituted",
        severity="warns",
        stage="artwork",
        message=f"No font {wanted!r} is at hand; {font.family} stands in for it.",
        remedy="Install the font, name another one, or turn the text into outlines in the drawing program.",
    )


def _style_findings(font: Font, weight: float, italic: bool) -> tuple[Finding, ...]:
    # A step of 100 is hardly seen in print; 150 tells regular from semibold.
    if abs(font.weight - weight) < 150 and font.italic == italic:
        return ()
    used = f"{font.label} is {'slanted for it' if font.slant else 'used'}"
    asked = f"weight {weight:g}{' italic' if italic else ''}"
    return (
        Finding(
            kind="font style substituted",
            severity="notes",
            stage="artwork",
            message=f"{font.family} is not at hand in {asked}; {used}.",
            remedy="Install that style of the font, or ask for the one that is at hand.",
        ),
    )
