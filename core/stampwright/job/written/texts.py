"""Text as a job, its files and its drawings can hold it: a line, several lines, the name of a file, or a colour."""

from __future__ import annotations

import re
from typing import Literal

Form = Literal["line", "lines", "path", "colour"]

MOST: dict[Form, int] = {"line": 500, "lines": 3_000, "path": 4_096, "colour": 7}
"""Characters: of a line; of what the largest QR symbol holds (2,953 bytes, ISO/IEC 18004);
of a path on Linux; of #rrggbb."""

_UNPRINTED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")
"""Control characters, separators of lines, halves of pairs, and what is no character; XML and TOML hold none of it."""

_COLOUR = re.compile("#(?:[0-9a-fA-F]{3}){1,2}")

_BREAKS = str.maketrans("", "", "\t\r\n")


def fits(text: str, form: Form) -> bool:
    r"""Whether text is of a form and no longer than that may be.

    >>> fits("Mossgate\N{NO-BREAK SPACE}Seed Library", "line"), fits("a\nb", "line"), fits("a\nb", "lines")
    (True, False, True)
    """
    if len(text) > MOST[form]:
        return False
    if form == "path":
        # Names that no encoding of text gives reach us as halves of pairs; no job file could hold them.
        return "\0" not in text and not any("\ud800" <= letter <= "\udfff" for letter in text)
    if form == "colour":
        return _COLOUR.fullmatch(text) is not None
    return _UNPRINTED.search(text.translate(_BREAKS) if form == "lines" else text) is None


def as_line(text: str) -> str:
    r"""Return text as a line that any file can hold: what a line cannot have becomes a space.

    >>> as_line("name\nof a file")
    'name of a file'
    """
    return _UNPRINTED.sub(" ", text)


def described(form: Form) -> str:
    """Say in words what text of a form is."""
    if form == "colour":
        return "a colour as #rrggbb, such as #26407c"
    what = {"line": "one line of text", "lines": "text", "path": "the name of a file"}[form]
    return f"{what} of at most {MOST[form]:,} characters"
