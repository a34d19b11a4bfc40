"""The guide holds: its commands, files, figures, findings and pieces are those of the program."""

import re
import shlex
import tomllib
from pathlib import Path

import pytest
from stampwright import make_artwork, read_artwork, read_job
from stampwright.cli import main
from stampwright.job import Job, job_settings
from stampwright.job.files import parse_setting
from stampwright.job.kinds import KINDS
from stampwright.job.pieces import pieces_from_data

ROOT = Path(__file__).resolve().parents[2]
GUIDE = ROOT / "shared" / "guide"
PAGES = sorted(GUIDE.glob("*.md"))
TEXTS = {page.name: page.read_text(encoding="utf-8") for page in PAGES}
COMMANDS = sorted(
    {line.strip() for text in TEXTS.values() for line in text.splitlines() if line.startswith("    stampwright ")}
)
LARGEST = 3_000_000  # bytes of all pictures together, so that the repository stays small


@pytest.mark.parametrize("page", [*PAGES, ROOT / "README.md"], ids=lambda page: f"{page.parent.name}/{page.name}")
def test_every_link_leads_to_a_file(page):
    links = re.findall(r"\]\(([^)#]+)\)", page.read_text(encoding="utf-8"))
    assert links
    assert [link for link in links if not (page.parent / link).is_file()] == []


def test_pictures_stay_small():
    pictures = list(GUIDE.glob("*.png"))
    assert {"scan.png", "photograph.png", "lettering.png", "pieces.png"} <= {picture.name for picture in pictures}
    assert sum(picture.stat().st_size for picture in pictures) < LARGEST


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_one_of_the_programs(command, capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    _, name, *arguments = shlex.split(command)
    with pytest.raises(SystemExit):
        main([name, "--help"])
    offered = capsys.readouterr().out
    for before, argument in zip([name, *arguments], arguments, strict=False):
        if argument.startswith("--"):
            assert argument in offered
        elif before == "--set":
            path, value = parse_setting(argument)
            Job().with_value(path, value)
        elif argument.startswith("shared/"):
            assert Path(argument).is_file()
        elif before in ("--dress", "--spread"):
            assert 0 < float(argument) < 1
        elif before in ("--push", "--off-centre"):
            assert all(0 <= float(number) <= 110 for number in argument.split(","))
        else:
            assert argument.startswith("out/"), "the guide writes nowhere else, and reads nothing that is not there"


@pytest.mark.parametrize(
    "command", [each for each in COMMANDS if each.split()[1] in ("preflight", "settings", "pieces")]
)
def test_commands_that_only_look_run_as_written(command, capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    # 1 says that a finding blocks: some pages show artwork before anything is done about it.
    assert main(shlex.split(command)[1:]) in (0, 1)
    assert capsys.readouterr().err == ""


def test_every_figure_that_is_named_is_one_of_the_jobs():
    known = {path: value for path, value, _ in job_settings(Job())}
    sections = {path.partition(".")[0] for path in known} - {"name"}
    named = {
        code
        for text in TEXTS.values()
        for code in re.findall(rf"`((?:{'|'.join(sections)})\.(?!stl)[a-z_]+(?:=[^`]+)?)`", text)
    }
    assert len(named) > 20
    for each in sorted(named):
        path, equals, _ = each.partition("=")
        assert path in known
        if equals:
            Job().with_value(*parse_setting(each))


def test_defaults_are_told_as_they_are():
    told = re.findall(
        r"^\| `([a-z_.]+)` \| (\d+(?:\.\d+)?)(?: mm| degrees)? \|", TEXTS["from-drawing-to-stamp.md"], re.M
    )
    known = {path: value for path, value, _ in job_settings(Job())}
    assert len(told) >= 8
    assert {path: float(value) for path, value in told} == {path: pytest.approx(known[path]) for path, _ in told}


def test_every_kind_that_preflight_finds_is_explained():
    rows = re.findall(r"^\| ([a-z ,]+) \|", TEXTS["from-drawing-to-stamp.md"], re.M)
    explained = {kind.strip() for row in rows for kind in row.split(",")}
    assert set(KINDS) <= explained


def test_the_pieces_that_are_shown_make_artwork(artwork_folder):
    (shown,) = re.findall(r"```toml\n(.*?)```", TEXTS["preparing-artwork.md"], re.S)
    pieces = pieces_from_data(tomllib.loads(shown)["pieces"])
    assert make_artwork(pieces, folder=artwork_folder).page_size == pytest.approx((44.0, 44.0), abs=0.1)


@pytest.mark.parametrize("name", ["sunflower-scan.jpg", "pumpkin-photo.jpg", "packet-label.svg", "lending-card.toml"])
def test_each_example_has_ink_and_a_job(name, artwork_folder, jobs_folder):
    job = read_job((jobs_folder / name).with_suffix(".toml"))
    assert not read_artwork(artwork_folder / name, tracing=job.tracing).inked.is_empty
