"""The contact sheet: every stamp of an order in one HTML file, to be searched, filtered, looked through and printed."""

from __future__ import annotations

import base64
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from html import escape

from ...job.written.texts import as_line
from ...looks.colours import DESK, INK, PAPER, QUIET, RULE, SEVERITY
from ...looks.typefaces import SANS, SERIF
from ...parts.measures import in_hours
from .rows import SAID, ShopRow

MOST_FINDINGS = 12
"""Findings of a stamp that the sheet lists; the report beside the stamp has all."""


def contact_sheet(
    title: str, told: Sequence[str], rows: Sequence[ShopRow], picture: Callable[[str], bytes | None]
) -> str:
    """Return the contact sheet as HTML that needs nothing else.

    ``told``: lines under the title; ``picture``: gives the small impression of a stamp, PNG, by its name.
    """
    states = Counter(row.state for row in rows)
    chosen = "".join(
        f'<label><input type="checkbox" value="{state}" checked> {state} ({states[state]})</label>'
        for state in SAID
        if states[state]
    )
    cards = "\n".join(_card(row, picture(row.name) if row.state == "made" else None) for row in rows)
    lines = "".join(f"<p>{escape(as_line(line))}</p>" for line in told)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width">\n<link rel="icon" href="data:,">\n'
        # Nothing is fetched, and no script runs but the one below, whatever a table says.
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; img-src data:; '
        "style-src 'unsafe-inline'; script-src 'unsafe-inline'\">\n"
        f"<title>{escape(as_line(title))}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        f"<header><h1>{escape(as_line(title))}</h1>{lines}\n"
        '<form role="search"><input type="search" id="words" placeholder="Search" aria-label="Search">'
        f'<span id="states">{chosen}</span><output id="shown">{len(rows)} of {len(rows)}</output></form></header>\n'
        f"<main>\n{cards}\n</main>\n<script>{_SCRIPT}</script>\n</body>\n</html>\n"
    )


def _card(row: ShopRow, picture: bytes | None) -> str:
    searched = " ".join((row.words, row.order, row.customer, row.name, str(row.row), row.state, *row.beds)).casefold()
    image = ""
    if picture is not None:
        data = base64.b64encode(picture).decode("ascii")
        image = f'<img alt="Impression of {_attribute(row.words)}" src="data:image/png;base64,{data}">'
    rush = ' <b class="rush">rush</b>' if row.rush else ""
    head = f"<h2><bdi>{escape(as_line(row.words or row.name or f'row {row.row}'))}</bdi>{rush}</h2>"
    files = {"made": ("proof.svg", "ticket.html"), "blocked": ("examination.html",)}.get(row.state, ())
    named = (f'<a href="stamps/{_attribute(row.name)}/{file}">{file.partition(".")[0]}</a>' for file in files)
    links = f"<p>{' '.join(named)}</p>" if files else ""
    return (
        f'<article class="{row.state.replace(" ", "-")}" data-state="{row.state}" data-text="{_attribute(searched)}">'
        f'<div class="picture">{image}</div>{head}<dl>{"".join(_facts(row))}</dl>{_found(row)}{links}</article>'
    )


def _facts(row: ShopRow) -> Iterator[str]:
    yield _fact("Row", f"{row.row}" + (f", {row.name}" if row.name else ""))
    yield _fact("State", row.state)
    if row.order:
        yield _fact("Order", row.order)
    if row.customer:
        yield _fact("Customer", row.customer)
    if row.why:
        yield _fact("Why", row.why)
    if row.state != "made":
        return
    yield _fact("How many", str(row.count))
    yield _fact("Impression", f"{row.size[0]:.1f} × {row.size[1]:.1f} mm")
    yield _fact("Prints", row.likeness)
    yield _fact("Mass", f"{row.mass:.1f} g")
    yield _fact("Printing", f"about {in_hours(row.minutes)}")
    yield _fact("Filament", f"{row.cost:.2f} {row.currency}")
    yield _fact("Price", f"{row.price:.2f} {row.currency}")
    if row.beds:
        yield _fact("Beds", ", ".join(row.beds))


def _fact(name: str, value: str) -> str:
    return f"<dt>{name}</dt><dd><bdi>{escape(as_line(value))}</bdi></dd>"


def _found(row: ShopRow) -> str:
    if not row.findings:
        return ""
    listed = "".join(f"<li>{escape(as_line(told))}</li>" for told in row.findings[:MOST_FINDINGS])
    more = len(row.findings) - MOST_FINDINGS
    listed += f"<li>and {more} more</li>" if more > 0 else ""
    several = f"{len(row.findings)} findings" if len(row.findings) > 1 else "1 finding"
    return f"<details><summary>{several}</summary><ul>{listed}</ul></details>"


def _attribute(text: str) -> str:
    return escape(as_line(text), quote=True)


_STYLE = (
    f"body{{margin:0;background:{DESK};color:{INK};font:14px/1.4 {SANS}}}"
    f"header{{position:sticky;top:0;background:{PAPER};padding:12px 20px;border-bottom:1px solid {RULE}}}"
    f"h1{{font:22px {SERIF};margin:0}}header p{{margin:2px 0;color:{QUIET}}}"
    "form{display:flex;flex-wrap:wrap;gap:14px;align-items:center;margin-top:8px}"
    "input[type=search]{font:inherit;padding:4px 8px;width:18em}label{margin-right:10px;white-space:nowrap}"
    "main{display:grid;grid-template-columns:repeat(auto-fill,minmax(270px,1fr));gap:14px;padding:20px}"
    f"article{{background:{PAPER};border:1px solid {RULE};border-radius:4px;padding:12px;break-inside:avoid}}"
    f"article.blocked,article.stopped,article.bad-row{{border-left:5px solid {SEVERITY['blocks']}}}"
    "article[hidden]{display:none}.picture{height:110px;display:flex;align-items:center;justify-content:center}"
    f".picture img{{max-width:100%;max-height:110px}}.rush{{color:{SEVERITY['blocks']};font-size:12px}}"
    "h2{font-size:15px;margin:6px 0;overflow-wrap:anywhere}"
    "dl{display:grid;grid-template-columns:6.5em 1fr;margin:0}"
    f"dt{{color:{QUIET}}}dd{{margin:0;overflow-wrap:anywhere}}"
    "details{margin-top:6px}ul{margin:4px 0;padding-left:18px}"
    "@media print{header{position:static}form{display:none}body{background:none}}"
)

_SCRIPT = (
    'const cards=[...document.querySelectorAll("article")],words=document.getElementById("words"),'
    'boxes=[...document.querySelectorAll("#states input")],shown=document.getElementById("shown");'
    "function show(){const asked=words.value.toLocaleLowerCase().split(/\\s+/).filter(Boolean),"
    "on=new Set(boxes.filter(b=>b.checked).map(b=>b.value));let count=0;"
    "for(const card of cards){const fits=on.has(card.dataset.state)&&asked.every(w=>card.dataset.text.includes(w));"
    "card.hidden=!fits;if(fits)count++}"
    "shown.textContent=`${count} of ${cards.length}`}"
    'words.addEventListener("input",show);boxes.forEach(b=>b.addEventListener("change",show));'
    'document.querySelector("form").addEventListener("submit",e=>e.preventDefault());show();'
)
