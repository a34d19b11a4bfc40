"""Every rule of the standards that makes ink is read as an independent renderer draws it."""

import pytest
from stampwright.artwork.svg import read_svg
from stampwright.errors import ArtworkError

from .rendering import agreement, rendered_ink
from .svg_rules import RULES

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" {}>{}</svg>'


@pytest.mark.sweep(110)
@pytest.mark.parametrize("name", RULES)
def test_rule_is_read_as_the_renderer_draws_it(name):
    section, body, *means = RULES[name]
    head = 'width="100" height="100"'
    truth = rendered_ink(HEAD.format(head, means[0] if means else body), side=800)
    found = agreement(read_svg(HEAD.format(head, body).encode()), truth)
    assert found >= 0.99, f"{name} (section {section}): {found:.4f}"


SQUARE = '<rect x="20" y="20" width="60" height="60"/>'
ROOTS = {
    "opacity": ('opacity=".3"', SQUARE, ""),
    "opacity-light": ('opacity=".7"', SQUARE, SQUARE),
    "style": ('style="opacity:.3"', SQUARE, ""),
    "display": ('display="none"', SQUARE, ""),
    "language": ('systemLanguage="de"', SQUARE, SQUARE),
    "extension": ('requiredExtensions="none-such"', SQUARE, SQUARE),
    "visibility": ('visibility="hidden"', SQUARE.replace("/>", ' visibility="visible"/>'), SQUARE),
    "ground": (
        'style="background-color:#000"',
        '<rect width="50" height="50" fill="#fff"/>',
        '<path d="M50 0H100V100H0V50H50z"/>',
    ),
    "ground-shorthand": (
        'style="background:#000 none"',
        '<rect width="50" height="50" fill="#fff"/>',
        '<path d="M50 0H100V100H0V50H50z"/>',
    ),
    "blend": ('style="mix-blend-mode:difference"', SQUARE, SQUARE),
}
"""What the outermost svg states, what it holds, and a drawing that says the same by plain means, "" for no ink."""


@pytest.mark.parametrize("name", ROOTS)
def test_root_is_read_as_the_renderers_draw_it(name):
    stated, body, means = ROOTS[name]
    whole = f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" {stated}>{body}</svg>'
    if not means:
        with pytest.raises(ArtworkError, match="no ink"):
            read_svg(whole.encode())
        return
    truth = rendered_ink(HEAD.format('width="100" height="100"', means), side=800)
    assert agreement(read_svg(whole.encode()), truth) >= 0.99
