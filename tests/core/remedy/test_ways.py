"""Promises of what would make artwork pass: sizes and nozzles are the least that do, and each way was tried."""

import re
from functools import cache

import numpy as np
import pytest
from PIL import Image
from shapely import unary_union
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright import Artwork, make_stamp, read_artwork
from stampwright.job import Job
from stampwright.job.pieces import Lettering, QrCode
from stampwright.remedy import ways_to_pass
from stampwright.remedy.searching import climbed, first_that_passes, least_that_passes
from stampwright.workshop import artwork_of


def artwork(*parts):
    return Artwork(inked=MultiPolygon(list(parts)), page_size=(40.0, 40.0))


def as_drawn(**values):
    return Job().with_values({"layout.size_by": "page", "layout.centre": "bounds", **values})


BARS = artwork(box(5, 5, 25, 5.2), box(5, 10, 25, 11))
CROWD = artwork(*[box(5, 5 + 0.5 * i, 13, 5.2 + 0.5 * i) for i in range(5)], box(5, 9, 13, 12))


@cache
def ways_of(name):
    """Return the ways of the bars or of the crowd as drawn, looked for once."""
    return ways_to_pass(as_drawn(), {"bars": BARS, "crowd": CROWD}[name])


def test_sound_artwork_needs_no_way():
    assert not ways_to_pass(as_drawn(), artwork(box(5, 5, 25, 15)))


@pytest.mark.parametrize(("name", "art"), [("bars", BARS), ("crowd", CROWD)], ids=["bars", "crowd"])
def test_every_way_passes_when_it_is_taken(name, art):
    job = as_drawn()
    ways = ways_of(name)
    assert len(ways) >= 3
    for way in ways:
        stamp = make_stamp(job.with_values(dict(way.settings)), art)
        assert not stamp.blocked, way.what


def test_the_size_is_the_smallest_at_which_lines_are_laid():
    # 0.2 mm drawn, 0.4 mm laid: twice as large, and widths in steps of half a millimetre.
    ways = ways_of("bars")
    larger = next(way for way in ways if set(way.settings) == {"layout.size_by", "layout.width"})
    assert larger.settings["layout.width"] == pytest.approx(40.0, rel=0.03)


def test_the_base_grows_only_where_the_artwork_would_not_fit():
    """Bars of 20 mm become 40 mm long: within 50 mm there is room for that, and within 30 mm there is none."""
    for diameter, grown in ((50.0, set()), (30.0, {"base.width"})):
        job = as_drawn(**{"base.width": diameter})
        larger = next(way for way in ways_to_pass(job, BARS) if way.settings.get("layout.size_by") == "width")
        assert set(larger.settings) == {"layout.size_by", "layout.width"} | grown


def test_a_base_grows_no_larger_than_its_backing_goes_onto_the_bed():
    """The backing's rim stands round the base: it is that which the printer has no room for first."""
    job = as_drawn(**{"base.width": 30.0})
    wide = next(way.settings["base.width"] for way in ways_to_pass(job, BARS) if "base.width" in way.settings)
    small = job.with_values({"printer.bed_width": wide + 2.0, "printer.bed_depth": wide + 2.0})
    ways = ways_to_pass(small, BARS)
    assert ways
    for way in ways:
        assert not make_stamp(small.with_values(dict(way.settings)), BARS).blocked, way.what


def test_the_nozzle_is_the_widest_that_lays_the_line():
    (finer,) = (way for way in ways_of("bars") if "printer.nozzle" in way.settings)
    assert finer.settings["printer.nozzle"] == 0.2
    assert finer.settings["printer.layer"] <= 0.1


def test_repair_comes_first_where_it_does_it_alone():
    ways = ways_of("bars")
    assert ways[0].settings["preflight.repair"] is True
    assert ways[0].examination.judgement.likeness.iou > 0.6


def test_repair_that_has_no_room_is_not_offered_alone():
    for way in ways_of("crowd"):
        if way.settings.get("preflight.repair_by") == "outlines":
            assert len(way.settings) > 2


@pytest.mark.parametrize(
    ("sides", "centre", "settings"),
    [
        ((16.0, 40.0), "bounds", {"layout.turn": 90.0}),
        # By its area it lies too far to the left.
        ((34.0, 16.0), "area", {"layout.centre": "bounds"}),
        ((16.0, 34.0), "area", {"layout.centre": "bounds", "layout.turn": 90.0}),
    ],
)
def test_artwork_that_fits_at_its_size_elsewhere_is_laid_there_first(sides, centre, settings):
    art = artwork(box(5, 5, 15, 15), box(15, 9, 35, 11))
    base = {"base.outline": "rectangle", "base.width": sides[0], "base.height": sides[1]}
    job = as_drawn(**base, **{"layout.centre": centre})
    way = ways_to_pass(job, art)[0]
    assert way.settings == settings
    assert not make_stamp(job.with_values(dict(way.settings)), art).blocked


def test_artwork_that_overhangs_is_fitted():
    ways = ways_to_pass(as_drawn(), artwork(box(0, 0, 80, 40)))
    assert ways[0].settings == {"layout.size_by": "fit"}
    assert dict(ways[1].settings) == {"layout.size_by": "width", "layout.width": 80.0, "base.width": 98.0}
    assert ways[1].what == "Keep it 80 x 40 mm, on a larger base"


def test_a_base_of_ones_own_grows_with_its_artwork():
    job = as_drawn(**{"base.outline": "custom", "base.points": [(-20, -10), (20, -10), (20, 10), (-20, 10)]})
    ways = ways_to_pass(job, artwork(box(5, 5, 35, 5.2), Point(20, 9).buffer(2)))
    larger = next(way for way in ways if "layout.width" in way.settings and "preflight.repair" not in way.settings)
    assert max(x for x, _ in larger.settings["base.points"]) >= 30.0


def test_a_search_ends_at_the_least_that_was_tried():
    tried = []

    def passes(figure):
        tried.append(figure)
        return figure >= 2.7

    found = least_that_passes(passes, 1.0, 8.0)
    assert found in tried
    assert 2.7 <= found <= 2.8
    assert least_that_passes(lambda figure: False, 1.0, 8.0) is None
    assert least_that_passes(lambda figure: True, 1.0, 8.0) == 1.0


@pytest.mark.parametrize("guess", [1.0, 1.5, 2.7, 2.75, 4.0, 8.0, 20.0])
def test_a_guess_spares_trials_and_changes_no_answer(guess):
    for least in (1.0, 1.02, 2.7, 7.9):
        tried = []
        found = least_that_passes(
            lambda at, least=least, tried=tried: tried.append(at) or at >= least, 1, 8, guess=guess
        )
        assert least <= found <= 1.03 * least
        assert found in tried
        assert len(tried) <= 12
        assert len(set(tried)) == len(tried)
    assert least_that_passes(lambda at: False, 1.0, 8.0, guess=guess) is None


@pytest.mark.parametrize("guess", range(6))
def test_the_first_that_passes_is_found_from_any_guess(guess):
    figures = (0.6, 0.4, 0.3, 0.25, 0.2)
    for most in (0.7, 0.4, 0.27, 0.2):
        found = first_that_passes(lambda at, most=most: at <= most, figures, guess=guess)
        assert found == max(figure for figure in figures if figure <= most)
    assert first_that_passes(lambda at: False, figures, guess=guess) is None
    assert first_that_passes(lambda at: True, (), guess=guess) is None


@pytest.mark.parametrize("needed", [1.1, 1.7, 2.9, 7.9])
@pytest.mark.parametrize("told", [0.7, 1.0, 1.3])
def test_a_climb_goes_by_what_is_lacking_and_ends_close_above_what_does_not_pass(needed, told):
    """What is told to be lacking may be too little or too much: the answer passes, and hardly less would."""
    tried = []

    def lack(size):
        tried.append(size)
        return 1.0 if size >= needed else min(max(1.25, told * needed / size), 2.0)

    found = climbed(lack, 1.0, 8.0, guess=1.3, close=1.15)
    assert needed <= found
    assert found / 1.15 <= max([1.0, *(size for size in tried if size < needed)])
    assert len(tried) <= 7


def test_a_climb_ends_without_an_answer_where_there_is_none_or_nothing_more_can_be_told():
    assert climbed(lambda size: 2.0, 1.0, 8.0, guess=1.3, close=1.15) is None
    assert climbed(lambda size: None, 1.0, 8.0, guess=1.3, close=1.15) is None
    # What passed before is kept when the next is not told of.
    assert climbed(lambda size: 1.0 if size == 4.0 else None, 1.0, 8.0, guess=4.0, close=1.15) == 4.0


def test_a_search_goes_on_past_its_work_while_nothing_passes():
    """Half a trial's work is none, and something passes at the first."""
    points = sum(len(part.exterior.coords) for part in CROWD.inked.geoms)
    found = ways_to_pass(as_drawn(), CROWD, work=points / 2)
    assert found.cut_short
    assert found
    assert all(not way.examination.blocked for way in found)


def test_a_search_ends_at_its_work_and_says_so():
    """With work for two trials some ways are found, fewer than with more, and each still passes."""
    whole = ways_of("crowd")
    assert not whole.cut_short
    points = sum(len(part.exterior.coords) for part in CROWD.inked.geoms)
    few = ways_to_pass(as_drawn(), CROWD, work=2 * points)
    assert few.cut_short
    assert "a finer nozzle" in few.missed
    assert "the search ended" in few.in_words()
    assert "Not looked for to the end: a larger size, a finer nozzle, repair" in few.in_words()
    assert 0 < len(few) < len(whole)
    assert all(not way.examination.blocked for way in few)


def test_where_nothing_passes_it_is_said_how_far_was_gone():
    """A code of squares a tenth of a hair wide, which repair leaves alone."""
    job = Job(
        **{**vars(as_drawn(**{"printer.nozzle": 0.8})), "pieces": (QrCode(text="Mossgate Seed Library", module=0.05),)}
    )
    code = artwork_of(job)
    found = ways_to_pass(job, code)
    assert not found
    told = found.in_words()
    assert told.startswith("No setting was found that makes it pass; no size up to ")
    size = re.search(r"no size up to ([\d.]+) x [\d.]+ mm carries it \((\d+) still block there\)", told)
    across = code.inked.bounds[2] - code.inked.bounds[0]
    assert float(size[1]) > 7 * across
    assert "no nozzle down to 0.1 mm lays it" in told
    assert "repair does not mend all of it" in told


def test_a_photograph_is_screened_and_not_mended_as_line_art(tmp_path):
    """Clouds of tone, cut in two, block by thin lines everywhere; no size and no repair is looked for."""
    rng = np.random.default_rng(4)
    clouds = [Image.fromarray(rng.random((side, side), dtype=np.float32)).resize((160, 160)) for side in (5, 12, 40)]
    tones = sum(np.asarray(cloud, dtype=float) for cloud in clouds) / len(clouds)
    file = tmp_path / "photograph.png"
    Image.fromarray(np.uint8(255 * np.clip(2 * tones - 0.5, 0, 1))).save(file, dpi=(150, 150))
    job = as_drawn()
    found = ways_to_pass(job, read_artwork(file), read=lambda job: read_artwork(file, tracing=job.tracing))
    assert [dict(way.settings) for way in found] == [{"tracing.tone": "dots"}]
    assert not found.cut_short


def lines_of(count):
    """Return wedges that meet in a point, as thin there at any size."""
    turns = np.arange(count) * 2 * np.pi / count
    ends = [(20 + 12 * np.array([np.cos(turns + side), np.sin(turns + side)]).T) for side in (-0.05, 0.05)]
    return [Polygon([(20, 20), one, other]) for one, other in zip(*ends, strict=True)]


def test_what_is_as_thin_at_any_size_is_redrawn():
    """Wedges that meet in a point are mended at no size; the search does not go through all of these."""
    star = Artwork(inked=unary_union(lines_of(24)), page_size=(40.0, 40.0))
    found = ways_to_pass(as_drawn(), star)
    assert found[0].settings["preflight.repair_by"] == "middle-lines"


TEXT = """<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="20mm" viewBox="0 0 60 20">
<text x="30" y="12" text-anchor="middle" font-family="Noto Sans" font-size="{size}" font-weight="{weight}"
 letter-spacing="{spacing}">{words}</text></svg>"""


def ways_for_text(tmp_path, **about):
    file = tmp_path / "text.svg"
    file.write_text(TEXT.format(**{"weight": 400, "spacing": 0, "words": "Seed Library", **about}))
    job = as_drawn(**{"base.outline": "follow"})

    def read(job):
        return read_artwork(file, tracing=job.tracing)

    return job, read, ways_to_pass(job, read(job), read=read, work=40_000)


def test_light_text_passes_in_the_bold_cut_of_its_family(tmp_path):
    job, read, ways = ways_for_text(tmp_path, size=5.6)
    (bold,) = (way for way in ways if dict(way.settings) == {"tracing.text_weight": 700.0})
    changed = job.with_values(dict(bold.settings))
    stamp = make_stamp(changed, read(changed))
    assert not stamp.blocked
    assert "".join(letter.character for letter in read(changed).letters) == "SeedLibrary"
    assert read(changed).inked.area > 1.4 * read(job).inked.area


def test_letters_that_run_together_pass_when_they_are_set_apart(tmp_path):
    job, read, ways = ways_for_text(tmp_path, size=6.0, weight=700, spacing=-1.06, words="MINIMILL")
    (wider,) = (way for way in ways if set(way.settings) == {"tracing.text_spacing"})
    spacing = wider.settings["tracing.text_spacing"]
    assert 0.01 < spacing <= 0.2
    assert not make_stamp(job.with_values(dict(wider.settings)), read(job.with_values(dict(wider.settings)))).blocked
    # The least: a tenth less does not do.
    less = job.with_values({"tracing.text_spacing": 0.9 * spacing})
    assert make_stamp(less, read(less)).blocked


def test_text_of_pieces_is_set_bolder_and_wider_too(tmp_path):
    piece = Lettering(text="Seed Library", cap_height=4.0, weight=400)
    job = as_drawn(**{"base.outline": "follow"})
    job = Job(**{**vars(job), "pieces": (piece,)})
    ways = ways_to_pass(job, artwork_of(job), read=artwork_of, work=20_000)
    (bold,) = (way for way in ways if dict(way.settings) == {"tracing.text_weight": 700.0})
    changed = job.with_values(dict(bold.settings))
    assert not make_stamp(changed, artwork_of(changed)).blocked


def test_a_larger_size_is_tried_on_artwork_as_fine_as_it_is_made_then():
    """Read anew for a larger size, the thin bar here is a row of specks, which no such size mends."""
    specks = artwork(*[box(5 + 0.4 * at, 5, 5.05 + 0.4 * at, 5.05) for at in range(3)], box(5, 10, 25, 11))

    def read(job):
        return BARS if job.layout.size_by == "page" else specks

    found = ways_to_pass(as_drawn(), BARS, read=read, work=20_000)
    assert not [way for way in found if set(way.settings) == {"layout.size_by", "layout.width"}]
    for way in found:
        changed = as_drawn().with_values(dict(way.settings))
        assert not make_stamp(changed, read(changed)).blocked, way.what


def test_without_letters_or_without_a_way_to_read_them_text_is_left_alone(tmp_path):
    assert not [way for way in ways_to_pass(as_drawn(), BARS, read=lambda job: BARS) if "tracing" in str(way.settings)]
    job, read, _ = ways_for_text(tmp_path, size=5.6)
    assert not [way for way in ways_to_pass(job, read(job), work=20_000) if "tracing" in str(way.settings)]


def test_text_far_too_small_passes_bold_and_larger_and_sooner_than_as_it_is(tmp_path):
    job, read, ways = ways_for_text(tmp_path, size=3.0)
    widths = {"tracing.text_weight" in way.settings: way.settings["layout.width"] for way in ways if is_larger(way)}
    assert widths[True] < 0.8 * widths[False]
    bold = next(way for way in ways if is_larger(way) and "tracing.text_weight" in way.settings)
    changed = job.with_values(dict(bold.settings))
    assert not make_stamp(changed, read(changed)).blocked


def is_larger(way):
    """Whether a way makes artwork larger, neither repaired nor without a warning."""
    return "layout.width" in way.settings and "preflight.repair" not in way.settings and way.warnings


def test_a_size_that_passes_below_one_that_does_not_is_found(tmp_path):
    """Hairs of ink between knocked-out letters that all but touch: no eye sees them at first, and larger they block."""
    file = tmp_path / "bar.svg"
    words = '<g fill="white" font-family="Noto Sans" font-size="2.1"><text x="6" y="14">Mossgate Seed Library</text>'
    file.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="46mm" height="46mm" viewBox="0 0 46 46">'
        f'<rect x="2" y="8" width="42" height="14"/>{words}<text x="6" y="18">Return by Friday 40312</text></g></svg>'
    )
    ways = ways_to_pass(as_drawn(), read_artwork(file), work=40_000)
    assert 70 < ways[0].settings["layout.width"] < 100
    assert not ways[0].examination.blocked
