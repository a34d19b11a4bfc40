"""Files that something went wrong with: each is read, or refused in one line; none ends in a traceback."""

import random

import pytest
from stampwright.errors import StampwrightError
from stampwright.toolpaths import examine_toolpath, read_gcode

from .slicing import Path, write

SQUARES = [
    Path(
        tuple((60 + x * size, 60 + y * size) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1), (0, 0))),
        round(0.2 * layer, 1),
        0.2,
        0.4,
        wall=True,
    )
    for layer in range(1, 5)
    for size in ((4.0, 3.3) if layer < 3 else (2.0,))
]
NONSENSE = [
    b"\0",
    b"\r",
    b";",
    b"(",
    b"G2 ",
    b"R",
    b"E",
    b"NaN",
    b"1e9",
    b"--",
    b"..",
    b"\xff",
    b"G92 E0\n",
    b"G91\n",
    b"G20\n",
]


def spoil(text: bytes, chance: random.Random) -> bytes:
    spoiled = bytearray(text)
    for _ in range(chance.randint(1, 6)):
        at, end = sorted(chance.randrange(len(spoiled) + 1) for _ in range(2))
        match chance.randrange(6):
            case 0:
                spoiled[at:at] = chance.choice(NONSENSE)
            case 1:
                del spoiled[at : at + chance.randint(1, 40)]
            case 2:
                spoiled[at : at + 1] = bytes([chance.randrange(256)])
            case 3:
                del spoiled[end:]
            case 4:
                spoiled[at:at] = spoiled[at : at + chance.randint(1, 200)]
            case _:
                spoiled[at : at + 30] = chance.randbytes(chance.randint(1, 30))
        if not spoiled:
            return bytes(spoiled)
    return bytes(spoiled)


@pytest.mark.parametrize("begin", range(0, 10_000, 2_500))
def test_whatever_happens_to_a_file_there_is_one_line_or_a_print(tmp_path, sweep, begin):
    path = tmp_path / "die.gcode"
    plain = [write(SQUARES, head="; head\nM104 S220"), write(SQUARES, relative=True, end="\r\n")]
    read = 0
    for seed in sweep(range(begin, begin + 2_500), quick=24):
        chance = random.Random(seed)
        path.write_bytes(spoil(chance.choice(plain), chance))
        said, examined = what_comes_of(path)
        assert "\n" not in said
        assert len(said) < 400
        assert examined is None or examined.impression.outlines.is_valid
        read += examined is not None
    assert read > 0


def what_comes_of(path):
    """Return what is said, and what is seen."""
    try:
        return "", examine_toolpath(read_gcode(path), dpi=100.0)
    except StampwrightError as refusal:
        return str(refusal), None
