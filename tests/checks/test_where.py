"""The page for developers leads where it says: every room has its line, and every answer is a file that has it."""

import ast
import re

import pytest

from .sources import ROOT, settings

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
ANSWERS = re.findall(r"^\| [^|]+\? \| `([\w/.]+)` \| `(\w+)` \|$", PAGE, re.MULTILINE)


def rooms_of(heading: str) -> list[str]:
    """Return the rooms in the first table after some words, in order."""
    table = PAGE.partition(heading)[2].partition("| --- | --- |")[2].partition("\n\n")[0]
    return [name for line in table.strip().splitlines() for name in re.findall(r"`(\w+)/?`", line.split("|")[1])]


@pytest.mark.parametrize("package", ["core/stampwright", "blender_addon"])
def test_every_room_has_its_line_in_the_order_of_imports(package):
    heading = {"core/stampwright": "Inside the core", "blender_addon": "Inside the extension"}[package]
    rooms = [room for room in settings()["rooms"][package] if not room.startswith("__") and room != "packing"]
    # Those that stand in one line may stand in any order there.
    assert sorted(rooms_of(heading)) == sorted(rooms)
    listed = rooms_of(heading)
    assert listed[4:] == [room for room in rooms if room in listed[4:]]


def test_enough_is_asked():
    assert len(ANSWERS) >= 15


@pytest.mark.parametrize(("file", "name"), ANSWERS)
def test_every_answer_is_a_file_that_defines_what_is_named(file, name):
    tree = ast.parse((ROOT / "core" / "stampwright" / file).read_text(encoding="utf-8"))
    defined = {node.name for node in tree.body if isinstance(node, ast.FunctionDef | ast.ClassDef)}
    targets = [target for node in tree.body if isinstance(node, ast.Assign) for target in node.targets]
    targets += [node.target for node in tree.body if isinstance(node, ast.AnnAssign)]
    assert name in defined | {target.id for target in targets if isinstance(target, ast.Name)}
