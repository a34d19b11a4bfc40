"""The guide as pages for a browser: each Markdown file as HTML, its pictures no larger than a page shows them."""

import io
import re
from pathlib import Path

import markdown
from PIL import Image

WIDEST = 860
"""Pixels across a picture; the page shows it no wider."""

QUALITY = 78
"""Of pictures as WebP, which at this size keeps small type readable."""

PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>
body {{ font: 16px/1.55 system-ui, sans-serif; max-width: 54rem; margin: 2rem auto; padding: 0 1rem; }}
img {{ max-width: 100%; height: auto; }}
table {{ border-collapse: collapse; }}
th, td {{ border-bottom: 1px solid #8886; padding: 0.3rem 0.8rem 0.3rem 0; text-align: left; vertical-align: top; }}
pre {{ overflow-x: auto; padding: 0.8rem; background: #8881; }}
:root {{ color-scheme: light dark; }}
</style>
</head>
<body>
<p><a href="README.html">The guide</a></p>
{body}
</body>
</html>
"""


def write_pages(source: Path, folder: Path) -> None:
    """Write every page of the guide in ``source``, with its pictures, into a new folder."""
    folder.mkdir(parents=True)
    pictures: set[str] = set()
    for path in sorted(source.glob("*.md")):
        text = path.read_text(encoding="utf-8")
        body = markdown.markdown(text, extensions=["tables", "fenced_code", "toc", "sane_lists"], output_format="html")
        body = re.sub(r'href="([\w-]+)\.md(#[\w-]+)?"', r'href="\1.html\2"', body)
        pictures |= set(re.findall(r'src="([\w-]+\.(?:png|jpg|webp|svg))"', body))
        body = re.sub(r'src="([\w-]+)\.(?:png|jpg|webp)"', r'loading="lazy" src="\1.webp"', body)
        title = text.partition("\n")[0].lstrip("# ")
        page = folder / f"{path.stem}.html"
        page.write_text(PAGE.format(title=title, body=body), encoding="utf-8", newline="\n")
    for name in sorted(pictures):
        if name.endswith(".svg"):
            (folder / name).write_bytes((source / name).read_bytes())
        else:
            (folder / name).with_suffix(".webp").write_bytes(_smaller(source / name))


def _smaller(path: Path) -> bytes:
    """Return a picture as WebP, no wider than a page shows it."""
    with Image.open(path) as picture:
        # A picture without a ground keeps that.
        shown = picture.convert("RGBA" if "transparency" in picture.info or "A" in picture.getbands() else "RGB")
    if shown.width > WIDEST:
        shown = shown.resize((WIDEST, round(shown.height * WIDEST / shown.width)), Image.Resampling.LANCZOS)
    held = io.BytesIO()
    shown.save(held, "WEBP", quality=QUALITY, method=4)
    return held.getvalue()
