"""Every rule of the standards that makes ink is read as an independent renderer draws it."""

import pytest
from stampwright.artwork.svg import read_svg

from .rendering import agreement, rendered_ink
from .svg_rules import RULES

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" {}>{}</svg>'


@pytest.mark.sweep(165)
@pytest.mark.parametrize("name", RULES)
def test_rule_is_read_as_the_renderer_draws_it(name):
    section, body, *means = RULES[name]
    head = 'width="100" height="100"'
    truth = rendered_ink(HEAD.format(head, means[0] if means else body), side=800)
    found = agreement(read_svg(HEAD.format(head, body).encode()), truth)
    assert found >= 0.99, f"{name} (section {section}): {found:.4f}"
