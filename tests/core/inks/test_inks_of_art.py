"""Inks proposed from the colours of art, and what of it each prints."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from PIL import Image, ImageDraw
from stampwright.artwork.coloured.reading import make_coloured, read_coloured
from stampwright.errors import ArtworkError
from stampwright.inks import coloured_picture, in_printing_order, mixed, propose_inks, separate
from stampwright.job.inks import Ink
from stampwright.job.pieces import Lettering, Ring
from stampwright.looks.colours import rgb
from stampwright.looks.differences import colour_difference


def drawing(tmp_path, body, name="art.svg", size=40):
    path = tmp_path / name
    path.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}mm" height="{size}mm" viewBox="0 0 {size} {size}">'
        f"{body}</svg>"
    )
    return path


def test_only_what_is_on_top_counts(tmp_path):
    art = read_coloured(
        drawing(
            tmp_path,
            '<rect width="40" height="40" fill="#f2c230"/><rect x="10" y="10" width="20" height="20" fill="#1f6b3a"/>'
            '<rect x="15" y="15" width="5" height="5" fill="#fff"/>'
            '<rect x="0" y="0" width="4" height="4" fill="#f2c231"/>',
        )
    )
    areas = {patch.colour: patch.region.area for patch in art.patches}
    assert areas == pytest.approx({"#f2c230": 1600 - 400 - 16, "#1f6b3a": 375, "#f2c231": 16}, rel=1e-6)
    assert art.whole.inked.area == pytest.approx(1575)
    inks = propose_inks(art)
    assert [(ink.colour, ink.colours) for ink in inks] == [
        ("#f2c230", ("#f2c230", "#f2c231")),
        ("#1f6b3a", ("#1f6b3a",)),
    ]
    parted, left = separate(art, inks)
    assert not left
    assert sum(each.region.area for each in parted) == pytest.approx(1575)


def test_layers_hide_what_is_below_them_whatever_their_colour(tmp_path):
    art = read_coloured(
        drawing(
            tmp_path,
            '<g id="ground"><rect width="40" height="40" fill="#123456"/></g>'
            '<g id="top"><rect x="10" y="10" width="20" height="20" fill="#fff"/>'
            '<circle cx="20" cy="20" r="5" fill="#123456"/></g>',
        ),
        layers=("top", "ground"),
    )
    areas = {patch.source: patch.region.area for patch in art.patches}
    assert areas["ground"] == pytest.approx(1200)
    assert areas["top"] == pytest.approx(np.pi * 25, rel=1e-3)
    inks = (Ink(name="a", colour="#a0282a", layers=("ground",)), Ink(name="b", colour="#26407c", layers=("Top",)))
    assert {each.ink.name for each in separate(art, inks)[0]} == {"a", "b"}


def test_bitmaps_of_flat_colours_are_parted_as_drawings_are(tmp_path):
    rows, columns = np.mgrid[0:400, 0:400]
    picture = np.full((400, 400, 3), 255, dtype=np.uint8)
    picture[(rows - 200) ** 2 + (columns - 200) ** 2 < 150**2] = (242, 194, 48)
    picture[(rows > 180) & (rows < 320) & (columns > 120) & (columns < 280)] = (31, 107, 58)
    path = tmp_path / "art.png"
    Image.fromarray(picture).save(path, dpi=(254, 254))
    art = read_coloured(path)
    areas = {patch.colour: patch.region.area for patch in art.patches}
    assert areas["#1f6b3a"] == pytest.approx(139 * 159 / 100, rel=0.01)
    assert areas["#f2c230"] == pytest.approx(np.pi * 225 - 139 * 159 / 100, rel=0.02)
    assert shapely.intersection(*(patch.region for patch in art.patches)).area < 1e-6


@pytest.mark.parametrize("written", [{"format": "PNG"}, {"format": "JPEG", "quality": 75}])
def test_soft_edges_between_two_colours_hold_no_third_and_no_paper(written, tmp_path):
    # Half way from this blue to white, a pixel is hardly farther from this red than from either.
    picture = Image.new("RGB", (3200, 3200), "#ffffff")
    draw = ImageDraw.Draw(picture)
    draw.polygon([(300, 2800), (1600, 240), (2900, 2800)], fill="#26407c")
    draw.polygon([(650, 2600), (1600, 720), (2550, 2600)], fill="#f2c230")
    draw.ellipse((1300, 1900, 1900, 2300), fill="#b5121b")
    path = tmp_path / "soft.png"
    picture.resize((800, 800), Image.Resampling.BOX).save(path, dpi=(508, 508), **written)
    art = read_coloured(path)
    assert [len(patch.region.geoms) for patch in art.patches] == [1, 1, 1]
    blue, yellow, red = 2600 * 2560 / 2, 1900 * 1880 / 2, np.pi * 300 * 200
    areas = sorted((patch.region.area for patch in art.patches), reverse=True)
    given = sorted((blue - yellow, yellow - red, red), reverse=True)
    assert areas == pytest.approx([area / 80**2 for area in given], rel=0.01)
    assert len(art.whole.inked.geoms) == 1
    assert shapely.Polygon(art.whole.inked.geoms[0].exterior).area == pytest.approx(art.whole.inked.area, abs=1e-9)


def test_a_ground_that_is_no_paper_is_an_ink(tmp_path):
    picture = np.full((300, 300, 3), (16, 20, 40), dtype=np.uint8)
    picture[100:200, 100:200] = (242, 194, 48)
    Image.fromarray(picture).save(tmp_path / "dark.png", dpi=(254, 254))
    areas = {patch.colour: patch.region.area for patch in read_coloured(tmp_path / "dark.png").patches}
    assert areas == pytest.approx({"#101428": 800, "#f2c230": 100}, rel=0.02)


GROUNDS = {"cream": "#f5ecd2", "parchment": "#e8d8a8", "mint": "#c8e8d0", "kraft": "#d0b48c"}


@pytest.mark.sweep(4)
@pytest.mark.parametrize("written", ["svg", "png", "jpg"])
@pytest.mark.parametrize("ground", GROUNDS.values(), ids=list(GROUNDS))
def test_coloured_paper_is_no_ink_and_prints_where_one_names_it(tmp_path, ground, written):
    if written == "svg":
        shapes = f'<circle cx="14" cy="14" r="10" fill="#a02828"/><circle cx="14" cy="14" r="4" fill="{ground}"/>'
        path = drawing(tmp_path, f'<rect width="40" height="40" fill="{ground}"/>{shapes}<path d="M20 30h15v5h-15z" '
                                 'fill="#204080"/>')  # fmt: skip
    else:
        picture = Image.new("RGB", (400, 400), ground)
        draw = ImageDraw.Draw(picture)
        draw.ellipse((40, 40, 240, 240), fill="#a02828")
        draw.ellipse((100, 100, 180, 180), fill=ground)
        draw.rectangle((200, 300, 350, 350), fill="#204080")
        path = tmp_path / f"art.{written}"
        picture.save(path, dpi=(254, 254))
    art = read_coloured(path)
    inks = propose_inks(art)
    assert [ink.name for ink in inks] == ["red", "dark-blue"]
    parted, (told,) = separate(art, inks)
    assert "all round the page" in told.message
    assert sum(each.region.area for each in parted) == pytest.approx(np.pi * (100 - 16) + 75, rel=0.02)
    # One that names no colour does not take the paper, however near.
    assert separate(art, (*inks, Ink(name="x", colour=art.paper, colours=(art.paper,))))[0][0].region.area > 1000
    free = (Ink(name="red", colour="#a02828"), Ink(name="blue", colour="#204080"))
    assert sum(each.region.area for each in separate(art, free)[0]) < 400


def test_pieces_name_their_inks():
    pieces = [Ring(diameter=30, line=3), Lettering(text="SEED", ink="leaf", cap_height=8), Ring(diameter=10, line=2)]
    art = make_coloured(pieces, name="x", first="earth")
    assert {patch.source for patch in art.patches} == {"earth", "leaf"}
    earth, leaf = Ink(name="earth", colour="#6a3b1c"), Ink(name="leaf", colour="#1f6b3a")
    parted, _ = separate(art, (earth, leaf))
    assert sum(each.region.area for each in parted) == pytest.approx(art.whole.inked.area, rel=1e-3)
    with pytest.raises(ArtworkError, match=r"pieces name the ink 'leaf', which the job does not have.*earth"):
        separate(art, (earth,))


def test_a_layer_that_there_is_not_is_told_with_those_that_there_are(tmp_path):
    path = drawing(tmp_path, '<g id="ground"><rect width="40" height="40" fill="#123456"/></g>')
    with pytest.raises(ArtworkError, match=r"inks.layers: the drawing has no layer 'sky'; there are: ground"):
        read_coloured(path, layers=("sky",))


def stripes(colours):
    wide = 40 / len(colours)
    return "".join(
        f'<rect x="{at * wide}" width="{wide}" height="40" fill="{colour}"/>' for at, colour in enumerate(colours)
    )


def test_sixty_colours_are_refused_in_one_line(tmp_path):
    wheel = [f"hsl({6 * at}, {60 + 40 * (at % 2)}%, {25 + 20 * (at % 3)}%)" for at in range(60)]
    with pytest.raises(ArtworkError, match=r"60 colours.*name the inks in the job") as refused:
        propose_inks(read_coloured(drawing(tmp_path, stripes(wheel))))
    assert "\n" not in str(refused.value)


def test_one_colour_takes_no_set(tmp_path):
    with pytest.raises(ArtworkError, match=r"one colour, #1f6b3a"):
        propose_inks(read_coloured(drawing(tmp_path, '<rect width="9" height="9" fill="#1f6b3a"/>')))


def test_inks_that_get_nothing_are_told_with_the_colours_that_there_are(tmp_path):
    art = read_coloured(drawing(tmp_path, stripes(["#f2c230", "#1f6b3a"])))
    with pytest.raises(ArtworkError, match=r"'blue' gets nothing.*#f2c230, #1f6b3a.*#2030c0"):
        separate(art, (Ink(name="blue", colour="#2030c0"), Ink(name="green", colour="#1f6b3a")))


def test_colours_that_no_ink_takes_are_told(tmp_path):
    art = read_coloured(drawing(tmp_path, stripes(["#f2c230", "#1f6b3a", "#d02090"])))
    inks = (
        Ink(name="a", colour="#f2c230", colours=("#f2c230",)),
        Ink(name="b", colour="#1f6b3a", colours=("#1f6b3a",)),
    )
    (finding,) = separate(art, inks)[1]
    assert finding.kind == "colour left out"
    assert "#d02090" in finding.message


def test_a_photograph_has_no_inks(tmp_path):
    noise = np.random.default_rng(1).integers(0, 255, (200, 200, 3), dtype=np.uint8)
    Image.fromarray(noise).save(tmp_path / "noise.png")
    with pytest.raises(ArtworkError, match="flat colours"):
        read_coloured(tmp_path / "noise.png")


def test_light_inks_are_printed_first_unless_the_job_says_otherwise():
    dark, light, middle = (Ink(name=name, colour=name) for name in ("#101010", "#f2c230", "#1f6b3a"))
    assert in_printing_order((dark, light, middle)) == (light, middle, dark)
    first = replace(dark, order=1)
    assert in_printing_order((first, light, middle)) == (first, light, middle)


def test_a_dark_ink_overprints_where_none_below_changes_it(tmp_path):
    art = read_coloured(drawing(tmp_path, stripes(["#f2c230", "#000000"])))
    assert [ink.laid for ink in propose_inks(art)] == ["knock-out", "overprint"]
    art = read_coloured(drawing(tmp_path, stripes(["#f2c230", "#2b5c93"])))
    assert [ink.laid for ink in propose_inks(art)] == ["knock-out", "knock-out"]


def test_inks_over_one_another_multiply_in_linear_light():
    grey = np.array(mixed(["#bcbcbc", "#bcbcbc"]))
    # #bcbcbc reflects half of the light (IEC 61966-2-1: 0.503), twice over a quarter, which is #898989.
    assert 255 * grey == pytest.approx([137.5] * 3, abs=1)
    full, bare = np.zeros((1, 1), dtype=np.uint8), np.full((1, 1), 255, dtype=np.uint8)
    pixel = coloured_picture([full, full], ["#f2c230", "#1f6b3a"])[0, 0] / 255
    assert colour_difference(pixel, np.array(mixed(["#f2c230", "#1f6b3a"]))) < 0.5
    alone = coloured_picture([full, bare], ["#f2c230", "#1f6b3a"])[0, 0] / 255
    assert colour_difference(alone, np.array(rgb("#f2c230"))) < 0.5


@pytest.mark.parametrize(("colour", "severity"), [("#ecb42c", "notes"), ("#d89a30", "warns")])
def test_a_colour_that_prints_in_a_different_one_warns_and_in_a_like_one_is_noted(tmp_path, colour, severity):
    body = f'<rect width="20" height="40" fill="#f2c230"/><rect x="20" width="20" height="40" fill="{colour}"/>'
    art = read_coloured(drawing(tmp_path, body))
    _, found = separate(art, [Ink(name="petals", colour="#f2c230")])
    assert [(each.kind, each.severity) for each in found] == [("colours joined", severity)]


@pytest.mark.parametrize(("order", "told"), [((2, 1), True), ((1, 2), False), ((0, 0), False)])
def test_light_ink_printed_after_a_darker_one_that_it_meets_is_told(order, told, tmp_path):
    beside = '<rect width="20" height="40" fill="#f2c230"/><rect x="20" width="20" height="40" fill="#1f6b3a"/>'
    art = read_coloured(drawing(tmp_path, beside))
    light, dark = propose_inks(art)
    _, found = separate(art, (replace(light, order=order[0]), replace(dark, order=order[1])))
    assert [finding.kind for finding in found] == ["light ink after dark"] * told
