"""Small dies to be sliced: art of 20 x 14 mm on a base of 24 x 18 mm, without backing and handle."""

import stampwright

JOB = {
    "base.outline": "rectangle",
    "base.width": 24.0,
    "base.height": 18.0,
    "die.floor": 0.8,
    "die.relief": 1.0,
    "backing.form": "none",
    "handle.form": "none",
    "layout.size_by": "page",
}


def small_stamp(shapes, folder):
    """Return the stamp of some shapes of SVG."""
    drawing = folder / "small.svg"
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="14mm" viewBox="0 0 20 14">'
    drawing.write_text(f"{head}\n{shapes}</svg>", encoding="utf-8")
    return stampwright.make_stamp(stampwright.Job().with_values(JOB), stampwright.read_artwork(drawing))
