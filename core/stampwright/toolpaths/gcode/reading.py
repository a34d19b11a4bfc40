"""G-code read from a file, a chunk at a time: ISO 6983 words as filament printers use them.

Read are G0 to G3 (arcs by I and J or by R), G4, G20, G21, G28, G90 to G92, M82, M83, M200, M204, M220, M221, T,
temperatures and limits of motion. All else, and every comment, is left out, so that it does not matter which program
wrote the file.
"""

from __future__ import annotations

import io
import math
import os
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...errors import ToolpathError, reason_of
from ...job.materials import FILAMENT_DIAMETER
from ...plane.rasters.raster import spread_out
from ..moves import Moves, ToldMoves, Toolpath
from .arcs import MOST_TURNS, chords_of, place_arcs, points_on, spoiled_arcs
from .blocks import TextBlocks, read_blocks
from .hearing import heard_in_blocks, heard_in_macros
from .states import MOST_LINES, SavedModes, pieces_of, put_back
from .tracing import Modes, Traced, trace
from .words import plain_text, read_words

CHUNK = 4 << 20
"""Bytes read at a time."""

LARGEST = 300_000_000
"""Bytes; a larger file is refused."""

LONGEST_LINE = 1 << 20
"""Bytes; what has longer lines is no G-code."""

FARTHEST = 5_000.0
"""mm from the origin; no printer reaches farther."""

MOST_FED = 1_000.0
"""mm of filament, or mm³, that one move may feed; more is no move of a printer's."""

MOST_MOVES = 12_000_000
"""Moves, arcs taken as chords."""

LEAST_TURNS, GOES_BACK = 20, 0.25
"""Moves that feed as they go, and the share of them that draw back, from which on lengths are taken to be relative."""

RELATIVE = "lengths of filament count each from the last, as their numbers go up and down; no M83 says so"

_TOO_MANY = f"more than {MOST_MOVES // 1_000_000} million moves; slice the die alone"

_OTHERS = {b"PK": "a zip", b"\x1f\x8b": "a gzip", b"GCDE": "a binary toolpath", b"solid": "an STL", b"\x89PNG": "a PNG"}


def read_gcode(
    path: str | os.PathLike[str], *, filament: float = FILAMENT_DIAMETER, volumetric: bool = False
) -> Toolpath:
    """Return the moves in a G-code file.

    ``filament``: its diameter, mm, where the file tells lengths. ``volumetric``: the file tells mm³ without saying
    so (by M200). Raises :class:`~stampwright.errors.ToolpathError` when it cannot be read, holds no moves that lay
    material, or a move is spoiled.
    """
    if not 0.5 <= filament <= 5.0:
        raise ToolpathError(f"filament = {filament:g} is not allowed: it takes a diameter from 0.5 to 5 mm")
    path = Path(path)
    state = _State(ToldMoves(feed_area=math.pi / 4 * filament**2, volumetric=volumetric), volumes=volumetric)
    try:
        parts, after = _read_all(path, state)
        if _is_relative(after):
            told = replace(state.told, guesses=(RELATIVE,))
            parts, after = _read_all(path, replace(state, told=told, modes=Modes(feed_relative=1.0, feed_said=True)))
    except OSError as error:
        raise ToolpathError(f"{path}: cannot be read ({reason_of(error)}); check who may read it") from error
    except ToolpathError as error:
        raise ToolpathError(f"{path}: {error}") from None
    moves = _joined(parts)
    if not (moves.volume > 0).any():
        raise ToolpathError(f"{path}: no move in it lays material; is it the G-code of a filament printer?")
    step = 10.0 ** -min(after.decimals, 6) * after.coarsest
    return Toolpath(path.name, moves, replace(after.told, step=step, lines=after.line))


def _read_all(path: Path, state: _State) -> tuple[list[Moves], _State]:
    """Return the moves of a file, a part for each chunk, and the state after the last."""
    parts: list[Moves] = []
    count = 0
    with _opened(path) as stream:
        for chunk in _chunks(stream):
            read, state = _read_chunk(chunk, state)
            parts += read
            count += sum(map(len, read))
            if count > MOST_MOVES:
                raise ToolpathError(_TOO_MANY)
    return parts, state


def _is_relative(state: _State) -> bool:
    """Whether lengths of filament that nothing says to be relative must be: counted on, every other would go back."""
    both = state.back + state.forth
    return not state.modes.feed_said and both >= LEAST_TURNS and state.back > GOES_BACK * both


def _opened(path: Path) -> io.BufferedReader:
    """Return a file opened for reading; raises :class:`ToolpathError` when it is none, or too large."""
    try:
        if not path.is_file():
            raise ToolpathError(f"is {'a folder' if path.is_dir() else 'no file'}; name a G-code file")
        if path.stat().st_size > LARGEST:
            raise ToolpathError(f"larger than {LARGEST // 1_000_000} MB; slice the die alone, on one plate")
        return path.open("rb")
    # A path with a character that no path has.
    except ValueError as error:
        raise ToolpathError(f"cannot be read ({reason_of(error)}); check the name") from error


@dataclass(frozen=True)
class _State:
    """What is known between two chunks."""

    told: ToldMoves
    modes: Modes = field(default_factory=Modes)
    line: int = 0
    decimals: int = 0
    coarsest: float = 1.0
    volumes: bool = False
    saved: SavedModes = field(default_factory=dict)
    saves: int = 0
    back: int = 0
    forth: int = 0


def _chunks(stream: io.BufferedReader) -> Iterator[bytes]:
    """Yield whole lines, about :data:`CHUNK` bytes at a time; raises :class:`ToolpathError` where there are none."""
    rest = b""
    first = True
    while block := stream.read(CHUNK):
        if first:
            first = False
            block = _checked(block)
        text = rest + block
        end = max(text.rfind(b"\n"), text.rfind(b"\r"))
        rest = text[end + 1 :]
        if len(rest) > LONGEST_LINE:
            raise ToolpathError("it has no lines: this is no G-code")
        yield text[: end + 1]
    yield rest


def _checked(block: bytes) -> bytes:
    for beginning, what in _OTHERS.items():
        if block.startswith(beginning):
            raise ToolpathError(f"is {what} file, not plain G-code; have the slicer write plain text")
    if block[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise ToolpathError("is text in UTF-16; save it as plain text")
    return block.removeprefix(b"\xef\xbb\xbf")


def _read_chunk(chunk: bytes, state: _State) -> tuple[list[Moves], _State]:
    parts = []
    for piece, line in pieces_of(chunk):
        part, state = _read_piece(piece, state)
        parts.append(part)
        if line is not None:
            here = state.modes.place
            modes, saved = put_back(line, state.modes, state.saved)
            state = replace(state, modes=modes, saved=saved, saves=state.saves + 1)
            if state.saves > MOST_LINES:
                raise ToolpathError(f"it saves its modes, or puts them back, more than {MOST_LINES:,} times")
            if modes.place != here:
                parts.append(_travel(modes))
    return parts, state


def _travel(modes: Modes) -> Moves:
    """Return the move by which the nozzle comes to where modes have it."""
    one = np.zeros(1, dtype=np.float32)
    speed, tool = np.full(1, modes.speed, dtype=np.float32), np.full(1, modes.tool).astype(np.uint8)
    return Moves(np.array([modes.place], dtype=np.float32), one, one, speed, one + np.float32(modes.travelling), tool)


def _read_piece(piece: bytes, state: _State) -> tuple[Moves, _State]:
    words = read_words(plain_text(piece))
    blocks, motion = read_blocks(words, state.modes.motion)
    traced, modes = trace(blocks, replace(state.modes, motion=motion))
    _check(blocks, traced, state, piece)
    moves, levels = _moves(blocks, traced, state, piece)
    told = heard_in_macros(piece, heard_in_blocks(blocks, state.told))
    if (traced.diameter > 0).any():
        told = replace(told, volumetric=True)
    coarsest = max(state.coarsest, float(traced.unit.max(initial=1.0)))
    back, forth = _turns_while_going(traced)
    return moves, replace(
        state,
        told=told,
        modes=replace(modes, levels=levels),
        line=state.line + words.lines - 1,
        decimals=max(state.decimals, blocks.decimals),
        coarsest=coarsest,
        back=state.back + back,
        forth=state.forth + forth,
    )


def _turns_while_going(traced: Traced) -> tuple[int, int]:
    """Return how many moves over the plate draw filament back, and how many feed it."""
    begin = np.vstack((np.array([traced.before]), traced.place[:-1])) if len(traced.at) else np.zeros((0, 3))
    goes = (traced.place[:, :2] != begin[:, :2]).any(axis=1)
    return int((goes & (traced.fed < 0)).sum()), int((goes & (traced.fed > 0)).sum())


def _check(blocks: TextBlocks, traced: Traced, state: _State, chunk: bytes) -> None:
    """Check the moves of a chunk; raises :class:`ToolpathError` about the first that is spoiled."""
    splines = np.flatnonzero(blocks.is_g(5, 5.1) & (blocks.said["X"] | blocks.said["Y"]))
    if len(splines):
        raise _error_at(int(blocks.line[splines[0]]), state, chunk, "a spline, which is not read: let lines be written")
    moving = blocks.is_g(0, 1, 2, 3)[traced.at]
    spoiled = blocks.spoiled[traced.at] & moving
    with np.errstate(invalid="ignore"):
        far = ~(np.abs(traced.place) <= FARTHEST).all(axis=1)
        much = ~(np.abs(traced.fed) <= MOST_FED)
        slow = moving & ~(np.nan_to_num(traced.speed, nan=1.0) >= 0)
    bent = blocks.is_g(2, 3)[traced.at]
    for wrong, why in (
        (bent & (traced.plane != 17.0), "an arc that is none of the layers' plane (G18, G19)"),
        (spoiled, "a move with a word that is no number"),
        (far, f"a move to more than {FARTHEST:g} mm from the origin"),
        (much, f"a move that feeds more than {MOST_FED:g} mm of filament"),
        (slow, "a negative speed"),
    ):
        if wrong.any():
            raise _error_at(int(blocks.line[traced.at[np.flatnonzero(wrong)[0]]]), state, chunk, why)


def _error_at(line: int, state: _State, chunk: bytes, why: str) -> ToolpathError:
    lines = chunk.replace(b"\r\n", b"\n").replace(b"\r", b"\n").split(b"\n")
    text = lines[line].decode("ascii", "replace") if line < len(lines) else ""
    shown = "".join(character if character.isprintable() else "?" for character in text.strip()[:60])
    return ToolpathError(f"line {state.line + line + 1}, '{shown}': {why}; slice the die again")


def _moves(
    blocks: TextBlocks, traced: Traced, state: _State, chunk: bytes
) -> tuple[Moves, dict[int, tuple[float, float]]]:
    """Return the moves of a chunk, arcs as chords, and how far each tool's filament has come."""
    count = len(traced.at)
    begin = np.vstack((np.array([traced.before]), traced.place[:-1])) if count else np.zeros((0, 3))
    laid, levels = _laid(traced, state)
    fed = np.abs(traced.fed)
    code = np.where(blocks.letter[traced.at] == ord("G"), blocks.code[traced.at], 0.0)
    bent = np.flatnonzero((code == 2.0) | (code == 3.0))
    chords = np.ones(count, dtype=np.int64)
    if len(bent):
        offset = np.column_stack([blocks.words[name][traced.at[bent]] for name in "IJ"]) * traced.unit[bent, None]
        radius = blocks.words["R"][traced.at[bent]] * traced.unit[bent]
        turns = np.clip(blocks.words["P"][traced.at[bent]], 0.0, MOST_TURNS)
        arcs = place_arcs(begin[bent, :2], traced.place[bent, :2], offset, radius, code[bent] == 2.0, turns=turns)
        wrong = spoiled_arcs(arcs)
        if wrong.any():
            line = int(blocks.line[traced.at[bent[np.flatnonzero(wrong)[0]]]])
            raise _error_at(line, state, chunk, "an arc whose ends do not lie on one circle")
        chords[bent] = chords_of(arcs)
        if chords.sum() > MOST_MOVES:
            raise ToolpathError(_TOO_MANY)
    owner, step = spread_out(np.zeros(count, dtype=np.int64), chords)
    share = (step + 1.0) / chords[owner]
    end = traced.place[owner]
    if len(bent):
        end = begin[owner] + (end - begin[owner]) * share[:, None]
        number = np.full(count, -1)
        number[bent] = np.arange(len(bent))
        curved = np.flatnonzero(number[owner] >= 0)
        end[curved, :2] = points_on(arcs, number[owner[curved]], share[curved])
    part = 1.0 / chords[owner]
    moves = Moves(
        end=end.astype(np.float32),
        volume=(laid[owner] * part).astype(np.float32),
        fed=(fed[owner] * part).astype(np.float32),
        speed=traced.speed[owner].astype(np.float32),
        acceleration=traced.acceleration[owner].astype(np.float32),
        tool=np.clip(traced.tool[owner], 0, 255).astype(np.uint8),
    )
    return moves, levels


def _laid(traced: Traced, state: _State) -> tuple[NDArray[np.float64], dict[int, tuple[float, float]]]:
    """Return what comes out of the nozzle, mm³ each: what is fed beyond the farthest that the filament had come.

    So what is drawn back, also on the way, and pushed forward again lays nothing.
    """
    by_length = (traced.diameter == 0.0) | (np.isnan(traced.diameter) & (not state.volumes))
    volume = traced.fed * np.where(by_length, state.told.feed_area, 1.0)
    laid, levels = np.zeros(len(volume)), dict(state.modes.levels)
    for tool in np.unique(traced.tool).tolist():
        those = traced.tool == tool
        level, highest = levels.get(tool, (0.0, 0.0))
        came = level + np.cumsum(volume[those])
        farthest = np.maximum.accumulate(np.concatenate(([highest], came)))
        laid[those] = np.diff(farthest)
        # Counted from the farthest, so that sums stay small and exact.
        levels[tool] = (float(came[-1] - farthest[-1]), 0.0)
    laid[laid < 1e-9] = 0.0
    return laid, levels


def _joined(parts: list[Moves]) -> Moves:
    """Return chunks of moves as one."""

    def joined(name: str) -> Any:
        return np.concatenate([getattr(part, name) for part in parts])

    return Moves(
        end=joined("end"),
        volume=joined("volume"),
        fed=joined("fed"),
        speed=joined("speed"),
        acceleration=joined("acceleration"),
        tool=joined("tool"),
    )
