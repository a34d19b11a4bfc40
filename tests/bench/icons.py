"""Reads whole open icon sets beside an independent renderer, and lists every icon whose ink is not the renderer's.

    python -m tests.bench.icons [PACKAGE ...]

Fails when fewer than 99.5 % of the icons agree to an intersection over union of 0.99, or when one that does not is not
explained here.
"""

from __future__ import annotations

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from time import process_time

from ..conftest import ICON_FOLDERS, ROOT
from ..references.rendering import agreement, rendered_ink

AGREES = 0.99
"""Least intersection over union."""

MOST_AGREE = 0.995
"""Least share of icons that agree."""

EXPLAINED = {
    "ionicons/list-circle-outline": "a stroke four times as wide as its circle's radius is a disc of 1,809.6 square "
    "units; the renderer draws 1,607, the reader 1,809.1",
}
"""Icons that differ, by package and name, and why."""


def main(packages: list[str]) -> int:
    """Compare every icon of the packages, print a line for each package and each icon that differs."""
    unknown = [package for package in packages if package not in ICON_FOLDERS]
    if unknown:
        print(f"icons: there is no set {unknown[0]!r}; there are: {', '.join(ICON_FOLDERS)}", file=sys.stderr)
        return 2
    counted = agreeing = unexplained = 0
    with ProcessPoolExecutor(max_workers=os.cpu_count()) as pool:
        for package in packages or ICON_FOLDERS:
            files = sorted((ROOT / ".build/icons/node_modules" / package / ICON_FOLDERS[package]).glob("*.svg"))
            if not files:
                print(f"icons: {package} is not there: 'python3 build.py test' fetches it with npm", file=sys.stderr)
                return 2
            compared = list(pool.map(_compare, files, chunksize=20))
            worse = {path: found for path, (found, _) in zip(files, compared, strict=True) if found < AGREES}
            seconds = sum(took for _, took in compared)
            print(
                f"{package}: {len(files) - len(worse)} of {len(files)} icons agree; {seconds:.0f} s to read", flush=True
            )
            for path, found in sorted(worse.items(), key=lambda pair: pair[1]):
                why = EXPLAINED.get(f"{package}/{path.stem}", "NOT EXPLAINED")
                unexplained += why == "NOT EXPLAINED"
                print(f"  {path.stem} {found:.4f}: {why}", flush=True)
            counted, agreeing = counted + len(files), agreeing + len(files) - len(worse)
    print(f"{agreeing:,} of {counted:,} icons agree ({agreeing / counted:.2%}); {unexplained} unexplained")
    return int(agreeing < MOST_AGREE * counted or unexplained > 0)


def _compare(path: Path) -> tuple[float, float]:
    """Return intersection over union of our ink and the renderer's, and the processor's seconds that reading took."""
    from stampwright.artwork import read_artwork
    from stampwright.errors import ArtworkError

    rendered = rendered_ink(path)
    begun = process_time()
    try:
        artwork = read_artwork(path)
    except ArtworkError as error:
        # Nothing drawn is refused as no ink; where the renderer draws nothing either, both agree.
        return float("no ink" in str(error) and not rendered.any()), process_time() - begun
    took = process_time() - begun
    return agreement(artwork, rendered), took


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
