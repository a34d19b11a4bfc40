"""The customers' pages of an order in one PDF, put together by a library (the extra ``orders``)."""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Iterable
from datetime import date
from importlib.util import find_spec

JOINS = "pypdfium2"

_DATE = re.compile(rb"\(D:\d{14}[^)]*\)")
_ID = re.compile(rb"/ID ?\[ ?<([0-9A-Fa-f]{32})> ?<([0-9A-Fa-f]{32})> ?\]")


def can_join() -> bool:
    """Say whether the library is installed."""
    return find_spec(JOINS) is not None


def joined_pages(pages: Iterable[bytes], day: date) -> bytes | None:
    """Return PDF pages as one document, dated ``day``; the same pages give the same bytes. None when there is none."""
    # Not all who make stamps send PDFs.
    import pypdfium2  # noqa: PLC0415

    whole, count = pypdfium2.PdfDocument.new(), 0
    for page in pages:
        one = pypdfium2.PdfDocument(page)
        whole.import_pages(one)
        one.close()
        count += 1
    if not count:
        return None
    held = io.BytesIO()
    whole.save(held)
    whole.close()
    return _settled(held.getvalue(), day)


def _settled(content: bytes, day: date) -> bytes:
    """Return a document that tells the day, not the moment, and no number by chance; its length stays."""
    told = f"D:{day:%Y%m%d}000000".encode()
    content = _DATE.sub(
        lambda found: b"(" + told.ljust(len(found[0]) - 2)[: len(found[0]) - 2] + b")", content, count=1
    )
    found = _ID.search(content)
    if found is None:
        return content
    bare = content.replace(found[1], b"0" * 32)
    digest = hashlib.sha256(bare).hexdigest()[:32].upper().encode()
    return content.replace(found[1], digest)
