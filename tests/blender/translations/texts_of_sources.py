"""Texts that sources show otherwise than as what a layout is given: findings, steps of work, messages kept."""

import ast
import re

from names import ROOT

ADDON = ROOT / "blender_addon"


def kinds_of_findings():
    """Yield the kinds that core and extension give findings, with a capital, as the list shows them."""
    paths = [*(ROOT / "core").rglob("*.py"), *ADDON.glob("[!s]*/*.py")]
    texts = [path.read_text(encoding="utf-8") for path in paths]
    # Kinds stand where findings are made, or in tables of words and nothing else.
    trees = [ast.parse(text) for text in texts if "Finding(" in text or re.search(r'^[A-Z_]+ = "[a-z ]+"$', text, re.M)]
    named = {}
    for node in (node for tree in trees for node in tree.body if isinstance(node, ast.Assign)):
        if isinstance(node.value, ast.Constant):
            named |= {target.id: node.value.value for target in node.targets if isinstance(target, ast.Name)}
    calls = [node for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Call)]
    found = set()
    for call in (each for each in calls if getattr(each.func, "id", "") == "Finding"):
        value = next((each.value for each in call.keywords if each.arg == "kind"), None)
        kinds = [named.get(value.id)] if isinstance(value, ast.Name) else plain(value)
        found |= {kind.capitalize() for kind in kinds if isinstance(kind, str)}
    # What a print has wrong is a table that is gone through.
    tables = (node for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Assign))
    for table in (node.value for node in tables if getattr(node.targets[0], "id", "") == "kinds"):
        rows = getattr(table, "elts", ())
        found |= {text.capitalize() for row in rows if isinstance(row, ast.Tuple) for text in plain(row.elts[0])}
    assert "Filled in" in found
    assert len(found) > 30
    return found


def steps_of_work():
    """Yield what is told of work that goes on, with a capital: a text beside a share of the whole."""
    paths = [each for each in (ROOT / "core").rglob("*.py") if not {"cli", "watching", "orders"} & set(each.parts)]
    for path in (*paths, *ADDON.glob("[!s]*/**/*.py")):
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(call, ast.Call) and len(call.args) == 2:
                name = getattr(call.func, "attr", getattr(call.func, "id", ""))
                if name in {"timing", "tell", "progress"}:
                    yield from (each.capitalize() for each in plain(call.args[0]))


def messages_kept(tree):
    """Yield the texts of constants that become the message of a stamp."""
    texts = {
        target.id: node.value.value
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    for node in (each for each in ast.walk(tree) if isinstance(each, ast.Assign)):
        if getattr(node.targets[0], "attr", "") == "message" and texts.get(getattr(node.value, "id", "")):
            yield texts[node.value.id]


def plain(value):
    """Yield the plain texts that an expression may come to; what is put together is translated where that is done."""
    if isinstance(value, ast.Constant) and isinstance(value.value, str):
        yield value.value
    elif isinstance(value, ast.IfExp):
        yield from (*plain(value.body), *plain(value.orelse))
