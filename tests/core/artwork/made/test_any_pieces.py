"""Whatever figures pieces are given within their limits, valid ink or one clear refusal comes of them."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from stampwright.artwork.made import make_artwork
from stampwright.errors import ArtworkError
from stampwright.job.pieces import PIECES, Piece, piece_settings
from stampwright.job.settings import Setting

SHORT_TEXT = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12).filter(str.isprintable)


def values_of(name: str, about: Setting) -> st.SearchStrategy:
    match about.kind:
        case "number":
            # Half of the time what is usual, so that pieces come about at all.
            low, high = about.normal or (max(about.low, -20.0), min(about.high, 60.0))
            return st.floats(about.low, about.high) | st.floats(low, high)
        case "whole":
            return st.integers(int(about.low), int(min(about.high, 2000)))
        case "switch":
            return st.booleans()
        case "choice":
            return st.sampled_from(list(about.choices))
        case "names":
            return st.lists(SHORT_TEXT, max_size=3).map(tuple)
    return (
        st.just("") if name in ("file", "font_file") else SHORT_TEXT | st.sampled_from(["401234567890", "2026-11-25"])
    )


@st.composite
def any_piece(draw: st.DrawFn) -> Piece:
    kind = draw(st.sampled_from(list(PIECES.values())))
    known = piece_settings(kind)
    chosen = draw(st.sets(st.sampled_from(sorted(known)), max_size=6)) | ({"text"} & set(known))
    return kind(**{name: draw(values_of(name, known[name])) for name in sorted(chosen)})


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(any_piece(), min_size=1, max_size=3))
def test_pieces_make_valid_ink_or_one_clear_line(pieces):
    try:
        artwork = make_artwork(pieces)
    except ArtworkError as error:
        refused = str(error)
        assert "\n" not in refused
        return
    assert artwork.inked.is_valid
    assert artwork.inked.area > 0
    assert min(artwork.page_size) > 0
