"""The guide holds: its commands, files, figures, findings and pieces are those of the program."""

import ast
import re
import shlex
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from stampwright import make_artwork, read_artwork, read_job
from stampwright.cli import main
from stampwright.job import Job, job_settings
from stampwright.job.kinds import KINDS
from stampwright.job.pieces import pieces_from_data
from stampwright.job.written.files import parse_setting
from stampwright.templates import template_called

ROOT = Path(__file__).resolve().parents[2]
GUIDE = ROOT / "shared" / "guide"
PAGES = sorted(GUIDE.glob("*.md"))
TEXTS = {page.name: page.read_text(encoding="utf-8") for page in PAGES}
COMMANDS = sorted(
    {line.strip() for text in TEXTS.values() for line in text.splitlines() if line.startswith("    stampwright ")}
)
SOURCES = (ROOT / "core" / "stampwright", ROOT / "blender_addon")
PASSED_ON = {"kind", "finding.kind", "first.kind", "change.kind"}
LARGEST = 3_000_000  # bytes of all pictures together, so that the repository stays small


def kinds_of_finding() -> set[str]:
    """Return every kind that a finding is made with, as the sources of core and extension state them.

    A kind is a string, a constant that names one, or a parameter or table of the same module: then every string that
    the module keeps for it counts.
    """
    sources = [path for room in SOURCES for path in room.rglob("*.py") if "stampwright/stampwright" not in str(path)]
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in sources]
    constants = {name: value for tree in trees for name, value in constants_of(tree)}
    found: set[str] = set()
    for tree in trees:
        for node in ast.walk(tree):
            for kind in stated_kinds(node):
                for part in (kind.body, kind.orelse) if isinstance(kind, ast.IfExp) else (kind,):
                    if isinstance(part, ast.Constant):
                        found.add(part.value)
                    elif isinstance(part, ast.Name) and part.id in constants:
                        found.add(constants[part.id])
                    else:
                        # Passed on: what it can be is checked where it comes from.
                        assert ast.unparse(part) in PASSED_ON, ast.unparse(part)
    return found | set(KINDS)


def constants_of(tree: ast.Module) -> Iterator[tuple[str, str]]:
    for node in tree.body:
        if isinstance(node, ast.Assign):
            (target,) = node.targets[:1]
            pairs = (
                zip(target.elts, node.value.elts, strict=False)
                if isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple)
                else [(target, node.value)]
            )
            for name, value in pairs:
                if isinstance(name, ast.Name) and isinstance(value, ast.Constant) and isinstance(value.value, str):
                    yield name.id, value.value


def stated_kinds(node: ast.AST) -> Iterator[ast.expr]:
    """Yield what a call gives as the kind of a finding; and the keys or first entries of tables of kinds."""
    match node:
        case ast.Call(func=ast.Name(id="Finding"), keywords=keywords):
            yield from (keyword.value for keyword in keywords if keyword.arg == "kind")
        case ast.Call(func=ast.Attribute(value=ast.Attribute(attr="notes"), attr="add"), args=[kind, *_]):
            yield kind
        case ast.Call(func=ast.Name(id="_finding"), args=[ast.Constant(value=str()) as kind, *_]):
            yield kind
        case ast.Call(func=ast.Name(id="_report"), args=[_, ast.Constant(value=str()) as kind, *_]):
            yield kind
        case ast.Assign(targets=[ast.Name(id="_KINDS")], value=ast.Dict(keys=keys)):
            yield from (key for key in keys if key is not None)
        case ast.Assign(targets=[ast.Name(id="kinds")], value=ast.Tuple(elts=entries)):
            yield from (entry.elts[0] for entry in entries if isinstance(entry, ast.Tuple))


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
    # Some commands have verbs.
    verb = [arguments.pop(0)] if name == "orders" else []
    with pytest.raises(SystemExit):
        main([name, *verb, "--help"])
    offered = capsys.readouterr().out
    for before, argument in zip([name, *arguments], arguments, strict=False):
        if argument.startswith("-"):
            assert argument in offered
        elif before == "--set":
            path, value = parse_setting(argument)
            Job().with_value(path, value)
        elif before == "--template":
            places = template_called(argument).words
        elif before == "--say":
            assert argument.partition("=")[0] in places
        elif argument.startswith("shared/"):
            assert Path(argument).is_file()
        elif before == "--inks":
            assert argument in ("auto", "ask")
        elif before in ("--dress", "--spread"):
            assert 0 < float(argument) < 1
        elif before in ("--push", "--off-centre", "--turns"):
            assert all(0 <= float(number) <= 110 for number in argument.split(","))
        else:
            assert argument.startswith("out/"), "the guide writes nowhere else, and reads nothing that is not there"


@pytest.mark.parametrize(
    "command", [each for each in COMMANDS if each.split()[1] in ("preflight", "settings", "pieces")]
)
def test_commands_that_only_look_run_as_written(command, capsys, monkeypatch, sweep):
    monkeypatch.chdir(ROOT)
    # To repair a photograph takes most of a minute.
    ways = sweep([["--no-ways"], []], quick=1) if command.endswith("-photo.jpg") else [[]]
    for more in ways:
        # 1 says that a finding blocks: some pages show artwork before anything is done about it.
        assert main([*shlex.split(command)[1:], *more]) in (0, 1)
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


def test_every_kind_of_finding_is_explained():
    rows = [row for text in TEXTS.values() for row in re.findall(r"^\| ([a-z ,]+) \|", text, re.M)]
    explained = {kind.strip() for row in rows for kind in row.split(",")}
    kinds = kinds_of_finding()
    assert len(kinds) > 80
    assert set(KINDS) <= kinds
    assert kinds - explained == set()


def test_the_pieces_that_are_shown_make_artwork(artwork_folder):
    (shown,) = re.findall(r"```toml\n(.*?)```", TEXTS["preparing-artwork.md"], re.S)
    pieces = pieces_from_data(tomllib.loads(shown)["pieces"])
    assert make_artwork(pieces, folder=artwork_folder).page_size == pytest.approx((44.0, 44.0), abs=0.1)


@pytest.mark.parametrize("name", ["sunflower-scan.jpg", "pumpkin-photo.jpg", "packet-label.svg", "lending-card.toml"])
def test_each_example_has_ink_and_a_job(name, artwork_folder, jobs_folder):
    job = read_job((jobs_folder / name).with_suffix(".toml"))
    assert not read_artwork(artwork_folder / name, tracing=job.tracing).inked.is_empty
