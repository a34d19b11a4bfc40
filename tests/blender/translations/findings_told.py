"""What findings and errors may say, read from their sources: every sentence, with gaps for what is put in."""

import ast
import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path

GAP = "{}"
"""What stands in a text for each thing that is put in."""

MOST = 64
"""Ways in which one sentence may come out that are followed."""

DEEP = 16
"""Steps from name to name that are followed."""

PLACE = re.compile(r"\{[^}]*\}")
"""A place in a text that is filled by name."""

WORD = re.compile("[A-Za-z]{3}")
"""Letters that make a text of its own, not a unit or what joins two others."""

DOTTED = re.compile(r"^[\w-]+(\.\w+)?$")
"""A plain name, or the path of a setting."""

TOLD = ("message", "remedy")

Function = ast.FunctionDef
Handed = dict[str, list[str]]


@dataclass(frozen=True)
class Module:
    """A source, and what its names stand for as far as it can be read there."""

    tree: ast.Module

    @cached_property
    def functions(self) -> dict[str, Function]:
        """Every function by its name."""
        return {each.name: each for each in ast.walk(self.tree) if isinstance(each, Function)}

    @cached_property
    def values(self) -> dict[str, ast.expr]:
        """What the names of the module itself are bound to."""
        return {name: value for node in self.tree.body for name, value in _bindings(node)}

    @cached_property
    def tables(self) -> dict[str, list[ast.expr]]:
        """What tables of the module give."""
        return {name: value.values for name, value in self.values.items() if isinstance(value, ast.Dict)}

    @cached_property
    def calls(self) -> list[tuple[Function, str, ast.Call]]:
        """Every call inside a function: where it is, the name of what is called, and the call."""
        return [
            (within, str(getattr(each.func, "id", getattr(each.func, "attr", ""))), each)
            for within in self.functions.values()
            for each in ast.walk(within)
            if isinstance(each, ast.Call)
        ]

    def told(self) -> Iterator[str]:
        """Yield what findings that are made here may say, and what is handed to notes that become findings."""
        for within, called, call in self.calls:
            if called in ("Finding", "replace"):
                for argument in call.keywords:
                    if argument.arg in TOLD:
                        yield from self.texts(argument.value, within)
            elif called == "add" and len(call.args) > 1 and isinstance(call.args[0], ast.Constant):
                remedies = (each.value for each in call.keywords if each.arg == "remedy")
                for value in (call.args[1], *remedies):
                    yield from self.texts(value, within)

    def raised(self, names: Collection[str]) -> Iterator[str]:
        """Yield what errors of these names may say that are made here."""
        for within, called, call in self.calls:
            if called in names and call.args:
                yield from self.texts(call.args[0], within)

    def texts(self, value: ast.expr, within: Function, depth: int = 0, handed: Handed | None = None) -> list[str]:
        """Return the texts that an expression may come to, with a gap for what cannot be read.

        ``handed``: what the function is called with, where that is known; otherwise all its callers are asked.
        """
        if depth > DEEP:
            return [GAP]
        follow = partial(self.texts, within=within, depth=depth + 1, handed=handed)
        match value:
            case ast.Constant(value=str(text)):
                told = [text]
            case ast.JoinedStr(values=parts):
                told = _joined(map(follow, parts))
            case ast.BinOp(left=left, op=ast.Add(), right=right):
                told = _joined((follow(left), follow(right)))
            case ast.Call(func=ast.Attribute(value=inner, attr="format")):
                told = [PLACE.sub(GAP, each) for each in follow(inner)]
            case ast.Name(id=name) if not handed or name not in handed:
                told = self._named(name, within, depth, handed)
            case ast.Name(id=name):
                told = handed[name]
            case ast.Call(func=ast.Name(id=name)) if name in self.functions:
                called = self.functions[name]
                given = {each: follow(put) for each in _taken(called) if (put := _handed(value, each, called))}
                told = self._returned(called, depth, given)
            case _:
                told = [text for way in self._ways(value) for text in follow(way)]
        return list(dict.fromkeys(told)) or [GAP]

    def _ways(self, value: ast.expr) -> list[ast.expr]:
        """Return the expressions of which one takes another's place."""
        match value:
            case ast.FormattedValue(value=inner, format_spec=None, conversion=-1) | ast.Lambda(body=inner):
                return [inner]
            case ast.Call(func=ast.Subscript() as table):
                return [table]
            case ast.IfExp(body=one, orelse=other):
                return [one, other]
            case ast.BoolOp(op=ast.Or(), values=parts):
                return parts
            case ast.Subscript(value=ast.Name(id=name)):
                return self.tables.get(name, [])
        return []

    def _returned(self, called: Function, depth: int, handed: Handed) -> list[str]:
        ends = [each.value for each in ast.walk(called) if isinstance(each, ast.Return) and each.value]
        return [text for end in ends for text in self.texts(end, called, depth + 1, handed)]

    def _bindings(self, node: ast.AST, within: Function) -> Iterator[tuple[str, ast.expr]]:
        """Yield what a statement binds, also by a row of a table that has a name."""
        yield from _bindings(node)
        match node:
            case ast.For(target=ast.Tuple(elts=names), iter=ast.Name(id=table)):
                for other in ast.walk(within):
                    for key, value in _bindings(other):
                        if key == table and isinstance(value, ast.Tuple):
                            for row in value.elts:
                                if isinstance(row, ast.Tuple):
                                    yield from _pairs(names, row.elts)
            case ast.Assign(targets=[ast.Tuple(elts=names)], value=ast.Subscript(value=ast.Name(id=table))):
                for row in self.tables.get(table, ()):
                    if isinstance(row, ast.Tuple):
                        yield from _pairs(names, row.elts)

    def _named(self, name: str, within: Function, depth: int, handed: Handed | None) -> Iterator[str]:
        """Yield what a name may come to: as it is bound, as callers hand it in, or as the module has it."""
        bound = [value for node in ast.walk(within) for key, value in self._bindings(node, within) if key == name]
        for value in bound:
            yield from self.texts(value, within, depth + 1, handed)
        if name in _taken(within):
            for caller, called, call in self.calls:
                value = _handed(call, name, within) if called == within.name and caller is not within else None
                if value is not None:
                    yield from self.texts(value, caller, depth + 1)
        elif name in self.functions:
            yield from self._returned(self.functions[name], depth, {})
        elif not bound and name in self.values:
            yield from self.texts(self.values[name], within, depth + 1)

    def words(self) -> Iterator[str]:
        """Yield what sentences are put together from: words of tables, and those that are gathered one by one."""
        for values in self.tables.values():
            for value in values:
                for part in value.elts if isinstance(value, ast.Tuple) else [value]:
                    if isinstance(part, ast.Constant) and isinstance(part.value, str):
                        yield part.value
        for within, called, call in self.calls:
            if called == "append" and isinstance(call.args[0], ast.Constant | ast.JoinedStr):
                yield from self.texts(call.args[0], within)


def texts_of_findings(paths: Iterable[Path]) -> set[str]:
    """Return every sentence that findings made in these sources may say; what has no words of its own is none."""
    found: set[str] = set()
    for path in paths:
        text = path.read_text(encoding="utf-8")
        if "Finding(" in text or "notes.add(" in text:
            module = Module(ast.parse(text))
            told = set(module.told())
            words = {PLACE.sub(GAP, each) for each in module.words() if " " in each.strip() and each[0].islower()}
            # Words of a table may stand in sentences that were read whole.
            found |= told | {each for each in words if not any(each in sentence for sentence in told)}
    return {each for each in found if any(letter.isalpha() for letter in each.replace(" mm", "").replace("mm²", ""))}


def texts_of_errors(paths: Iterable[Path], names: Collection[str]) -> set[str]:
    """Return every sentence that errors of these names may say; what only joins what others say has no words."""
    found: set[str] = set()
    for path in paths:
        text = path.read_text(encoding="utf-8")
        if any(f"{name}(" in text for name in names):
            found |= set(Module(ast.parse(text)).raised(names))
    return {each for each in found if WORD.search(each)}


def texts_of_ways(path: Path) -> set[str]:
    """Return every phrase of which the ways to make artwork pass are made, as the module that looks for them has it."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    module = Module(tree)
    found: set[str] = set()
    for within, called, call in module.calls:
        if called in ("Way", "_said"):
            found |= {each for each in module.texts(call.args[0], within) if "{}{}" not in each}
        elif called == "miss" and isinstance(call.args[0], ast.Constant):
            found.add(str(call.args[0].value))
    for value in module.values.values():
        plain = (each.value for each in ast.walk(value) if isinstance(each, ast.Constant))
        found |= {each for each in plain if isinstance(each, str) and not DOTTED.search(each)}
    return {each for each in found if WORD.search(each)}


def _taken(called: Function) -> list[str]:
    """Return the names of a function's arguments, those that go by place first."""
    return [each.arg for each in (*called.args.posonlyargs, *called.args.args, *called.args.kwonlyargs)]


def _handed(call: ast.Call, name: str, called: Function) -> ast.expr | None:
    """Return what a call hands a function under a name, if that can be seen."""
    for argument in call.keywords:
        if argument.arg == name:
            return argument.value
    at = _taken(called).index(name)
    seen = at < len(call.args) and not any(isinstance(each, ast.Starred) for each in call.args)
    return call.args[at] if seen else None


def _bindings(node: ast.AST) -> Iterator[tuple[str, ast.expr]]:
    """Yield the names that a statement or a loop over a table binds, each with what it is bound to."""
    match node:
        case ast.Assign(targets=[ast.Tuple(elts=names)], value=ast.Tuple(elts=values)):
            yield from _pairs(names, values)
        case ast.Assign(targets=[ast.Name(id=name)], value=value):
            yield name, value
        case ast.AnnAssign(target=ast.Name(id=name), value=value) if value is not None:
            yield name, value
        case ast.For(target=ast.Tuple(elts=names), iter=ast.Tuple(elts=rows)):
            for row in rows:
                if isinstance(row, ast.Tuple):
                    yield from _pairs(names, row.elts)


def _pairs(names: list[ast.expr], values: list[ast.expr]) -> Iterator[tuple[str, ast.expr]]:
    for one, value in zip(names, values, strict=False):
        if isinstance(one, ast.Name):
            yield one.id, value


def _joined(parts: Iterable[list[str]]) -> list[str]:
    whole = [""]
    for ways in parts:
        kept = list(dict.fromkeys(ways)) if len(whole) * len(ways) <= MOST else [GAP]
        whole = [start + end for start in whole for end in kept]
    return whole
