"""Promises of templates: what comes along prints, with other words too, and what cannot fit says how much would."""

import re
from contextlib import nullcontext

import pytest
from stampwright.artwork.made import make_artwork
from stampwright.cli import main
from stampwright.errors import ArtworkError, JobError, WordsError
from stampwright.examination import examine_job
from stampwright.job.pieces import Lettering, QrCode, RoundLettering
from stampwright.templates import fill_template, list_templates, template_called

TEMPLATES = list_templates()

HURTFUL = [
    ("address", {"line1": "ÄÖÜ Straßenverein", "line2": "Çağlayan Şükrü Ńjörd", "line3": "Nr. 1234567890 / 8-9"}),
    ("address", {"line1": "a@b.example $5 €7", "line2": "", "line3": "Ångström åů", "line4": ""}),
    ("address", {"line1": "WWWWWWWWWWWWWWWWWWWW", "line2": "iiiiiiiiiiiiiiiiiiiii", "line3": "{line4}"}),
    ("address", {"line1": "Österreichische Saatgutgemeinschaft", "line2": "Seedlings and cuttings of all kinds, lent"}),
    ("round", {"top": "LONG WORDS THAT GO ROUND AND ROUND", "bottom": "Žluťoučký kůň"}),
    ("received", {"word": "EINGEGANGEN", "date": "2026-11-25", "from": "Förderverein Mühle"}),
    ("received", {"word": "Å", "from": ""}),
    ("received", {"word": "zurück & geprüft"}),
    ("round", {"top": "ÄRZTE ÖSTLICHER ÜFER 1234", "bottom": "ÅŮŠ 2026", "line1": "Übergabe"}),
    ("round", {"top": "a", "bottom": "", "line1": "№ 1", "line2": ""}),
    ("round", {"line1": "Große", "line2": "Äpfel"}),
    ("approved", {"word": "genehmigt", "sign": "Gezeichnet", "date": "Tag"}),
    ("approved", {"word": "bewilligt, geprüft", "sign": "", "date": ""}),
    ("code", {"code": "MOSSGATE 42", "caption": "Öffnet 9-12"}),
    ("code", {"code": "https://mossgate.example/" + "x" * 40, "caption": ""}),
]

TOO_LONG = [
    (
        "address",
        {"line1": "Österreichische Saatgutgemeinschaft Moosbach"},
        "line1: 'Österreichische.*about (3[5-9]|4[0-4]) such characters fit",
    ),
    ("round", {"top": "A very long inscription that goes round and round"}, "top: .*°.*about 4[0-9] such.*fit"),
    ("code", {"code": "x" * 300}, "code: 300 characters make a code of .* mm"),
    ("received", {"word": "W" * 400}, "word: .*fit"),
]


def examined(name, said=(), settings=()):
    job = fill_template(template_called(name), dict(said), dict(settings))
    return examine_job(job, make_artwork(job.pieces))


def said_of(findings):
    return [finding.message for finding in findings]


def test_there_are_templates_for_five_uses_at_least():
    assert len(TEMPLATES) >= 5
    assert all(template.about and template.words for template in TEMPLATES)


@pytest.mark.parametrize("name", [template.name for template in TEMPLATES])
def test_every_template_prints_as_it_comes_along(name):
    seen = examined(name)
    assert [each.message for each in seen.findings if each.severity != "notes"] == []
    assert seen.job.printer.nozzle == 0.4
    # Nothing overhangs its base.
    assert seen.laid.layout.base.buffer(-0.5).covers(seen.laid.layout.inked)


@pytest.mark.parametrize(("name", "said"), HURTFUL)
def test_every_template_prints_other_words(name, said):
    seen = examined(name, said)
    assert said_of(seen.blocked) == []
    wrong = {"pieces overlap", "letters overlap", "quiet zone not clear"}
    assert not wrong & {finding.kind for finding in seen.findings}
    assert seen.laid.layout.base.buffer(-0.5).covers(seen.laid.layout.inked)


@pytest.mark.parametrize(("name", "said", "why"), TOO_LONG)
def test_words_that_cannot_fit_are_refused_with_what_would(name, said, why):
    with pytest.raises(JobError, match=why) as caught:
        fill_template(template_called(name), said)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("address", {"line1": "Österreichische Saatgutgemeinschaft Moosbach"}),
        ("received", {"word": "Eingegangen, geprüft und weitergegeben"}),
        ("round", {"top": "VERY LONG WORDS THAT GO ROUND AND ROUND"}),
        ("approved", {"word": "genehmigt und freigegeben", "date": "Genehmigt am"}),
        ("code", {"code": "https://mossgate.example/" + "x" * 100}),
    ],
)
def test_words_that_are_too_long_fit_on_the_larger_base_that_is_named(name, said):
    with pytest.raises(WordsError, match=r"base\.width = \d+") as refused:
        fill_template(template_called(name), said)
    wide = float(re.search(r"base\.width = ([\d.]+)", str(refused.value))[1])
    seen = examined(name, said, {"base.width": wide})
    assert said_of(seen.blocked) == []
    assert not {"pieces overlap", "quiet zone not clear"} & {finding.kind for finding in seen.findings}
    assert seen.laid.layout.base.buffer(-0.5).covers(seen.laid.layout.inked)
    # It is the least, to a twentieth.
    with pytest.raises(WordsError):
        fill_template(template_called(name), said, {"base.width": 0.93 * wide})


def test_a_larger_base_has_larger_places_and_a_smaller_one_the_same():
    plain, wide = (fill_template(template_called("address"), {}, {"base.width": side}) for side in (70.0, 120.0))
    assert (wide.base.width, wide.base.height) == (120.0, 57.0)
    heights = [[piece.cap_height for piece in job.pieces if isinstance(piece, Lettering)][1] for job in (plain, wide)]
    assert heights == [4.0, 6.0]


@pytest.mark.parametrize("words", ["\ue0f1\ue0f2", "SEED \ue0f1"])
def test_words_with_letters_that_no_font_has_are_refused_with_what_to_do(words):
    """Private use characters (Unicode 16, section 23.5), which no font at hand draws."""
    with pytest.raises(WordsError, match=r"line1: no font at hand has '.ue0f1'.*font_file") as refused:
        fill_template(template_called("address"), {"line1": words})
    assert refused.value.places == ("line1",)


def test_long_words_are_set_smaller_and_then_narrower():
    def first(words):
        job = fill_template(template_called("address"), {"line1": words})
        return next(piece for piece in job.pieces if isinstance(piece, Lettering))

    # In these letters 38 signs of 2.5 mm fit without space between them, not with it.
    short, long, longest = (
        first(words) for words in ("SEEDS LENT", "SEEDS LENT A LENT A LENT", "SEEDS LENT" + " A LENT" * 4)
    )
    assert (short.cap_height, short.spacing) == (5.0, 0.3)
    assert 2.5 < long.cap_height < 5.0
    assert long.spacing == pytest.approx(0.3 * long.cap_height / 5.0)
    assert (longest.cap_height, longest.spacing) == (2.5, 0.0)
    with pytest.raises(JobError, match="line1"):
        first("SEEDS LENT" + " A LENT" * 9)


def test_a_finer_nozzle_lets_more_words_in():
    words = {"line1": "Österreichische Saatgutgemeinschaft Moosbach"}
    with pytest.raises(JobError):
        fill_template(template_called("address"), words)
    seen = examined("address", words, {"printer.nozzle": 0.25, "printer.layer": 0.1})
    assert said_of(seen.blocked) == []


def test_a_code_gets_smaller_modules_before_it_is_refused():
    job = fill_template(template_called("code"), {"code": "https://mossgate.example/" + "x" * 40})
    (code,) = (piece for piece in job.pieces if isinstance(piece, QrCode))
    assert 0.8 <= code.module < 1.0


def test_a_line_that_is_left_out_leaves_no_gap():
    job = fill_template(template_called("address"), {"line3": " "})
    assert job.pieces[-1].text == "The Old Bakehouse\nMossgate"
    round_mark = fill_template(template_called("round"), {"bottom": ""})
    assert len([piece for piece in round_mark.pieces if isinstance(piece, RoundLettering)]) == 1


def test_what_is_no_place_no_template_or_no_words_is_named():
    with pytest.raises(JobError, match="no place 'line9'; there are line1, line2, line3, line4; nearest: line"):
        fill_template(template_called("address"), {"line9": "a"})
    with pytest.raises(JobError, match=r"no template 'adress'.*nearest: address"):
        template_called("adress")
    with pytest.raises(JobError, match="nothing to say"):
        fill_template(template_called("address"), dict.fromkeys(("line1", "line2", "line3", "line4"), ""))
    with pytest.raises(JobError, match=r"lettering\.text"):
        fill_template(template_called("address"), {"line1": "a\x00b"})
    with pytest.raises(ArtworkError, match="is no date"):
        examined("received", {"date": "yesterday"})


def test_a_code_is_not_made_of_nothing():
    for nothing in ("", "  "):
        with pytest.raises(WordsError, match="no use without code") as refused:
            fill_template(template_called("code"), {"code": nothing})
        assert refused.value.places == ("code",)
    assert fill_template(template_called("code"), {"caption": ""}).pieces


def test_a_template_of_ones_own_says_which_words_it_needs(tmp_path):
    file = tmp_path / "own.toml"
    piece = 'format = 2\n[template]\nneeded = {}\n[[pieces]]\nkind = "lettering"\ntext = ["{{name}}", "{{town}}"]\n'
    file.write_text(piece.format('["name"]'))
    with pytest.raises(WordsError, match="no use without name"):
        fill_template(template_called(str(file)), {"town": "Mossgate"})
    assert fill_template(template_called(str(file)), {"name": "Ada"}).pieces[0].text == "Ada"
    for wrong in ('["nam"]', '"name"', "[7]"):
        file.write_text(piece.format(wrong))
        with pytest.raises(JobError, match="needed is a list of places, out of: name, town"):
            template_called(str(file))


def test_strokes_follow_the_height_of_letters_and_the_printer():
    def strokes(words, settings=()):
        job = fill_template(template_called("address"), {"line1": words}, dict(settings))
        return next((piece.cap_height, piece.stroke) for piece in job.pieces if isinstance(piece, Lettering))

    (wide, two), (tight, one) = strokes("Seeds"), strokes("Seedlings and cuttings of all kinds")
    assert (wide, two) == (5.0, 0.8)
    assert tight < 4.0
    assert 0.4 <= one < 0.8
    assert strokes("Seeds", {"printer.nozzle": 1.0, "printer.layer": 0.2})[1] == 1.0


def test_one_command_makes_a_stamp_from_a_template(tmp_path, capsys):
    words = ["--say", "word=RETURNED", "--say", "from=", "--set", "handle.form=none"]
    assert main(["make", "--template", "received", *words, "-o", str(tmp_path / "made")]) == 0
    assert (tmp_path / "made" / "die.stl").exists()
    capsys.readouterr()
    for wrong, why in (
        (["--say", "word=A"], "--template"),
        (["--template", "received", "--say", "word"], "PLACE=WORDS"),
        (["--template", "received", "art.svg"], "leave art.svg out"),
    ):
        assert main(["make", *wrong, "-o", str(tmp_path / "not")]) == 2
        assert why in capsys.readouterr().err
    twice = ["--say", "word=A", "--say", "word=B"]
    assert main(["make", "--template", "received", *twice, "-o", str(tmp_path / "not")]) == 2
    assert "twice" in capsys.readouterr().err
    assert main(["templates"]) == 0
    listed = capsys.readouterr().out
    assert all(template.name in listed for template in TEMPLATES)


def test_capitals_are_named_only_where_they_fit(tmp_path):
    file = tmp_path / "bold.toml"
    file.write_text('format = 2\n[[pieces]]\nkind = "lettering"\ntext = "{line1}"\ncap_height = 5.0\nfits = 74.0\n')
    template, named = template_called(str(file)), set()
    for count in range(24, 60, 6):
        text = ("Seedlings " * 6)[:count].strip()
        try:
            fill_template(template, {"line1": text})
        except WordsError as error:
            in_capitals = "in capitals" in str(error)
            with nullcontext() if in_capitals else pytest.raises(WordsError):
                fill_template(template, {"line1": text.upper()})
            named.add(in_capitals)
    assert named == {True, False}


@pytest.mark.parametrize("place", ["line1", "line3"])
def test_a_line_break_has_no_place_in_one_line(place):
    with pytest.raises(WordsError, match=f"{place}: there is room for one line; leave the line break out") as refused:
        fill_template(template_called("address"), {place: "Mossgate\nSeed Library"})
    assert refused.value.places == (place,)
