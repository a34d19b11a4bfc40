"""Moves read from G-code, against examples worked by hand: ISO 6983 words as filament printers use them."""

import math

import numpy as np
import pytest
from stampwright.errors import ToolpathError
from stampwright.toolpaths import gcode, read_gcode
from stampwright.toolpaths.gcode import reading

FILAMENT = math.pi / 4 * 1.75**2
LAYS = "G90\nM82\nG92 E0\nG1 X0 Y0 Z0.2 F1200\n"


@pytest.fixture
def read(tmp_path):
    """Return a function from G-code to what is read of it."""

    def read(text, **options):
        path = tmp_path / "die.gcode"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_gcode(path, **options)

    return read


def ends(toolpath):
    return toolpath.moves.end.astype(float).round(4).tolist()


def volumes(toolpath):
    return (toolpath.moves.volume / FILAMENT).astype(float).round(4).tolist()


def test_a_line_goes_where_it_says_and_lays_what_it_feeds(read):
    path = read(LAYS + "G1 X10 Y0 E1\nG1 Y5 E1.5 F600\n")
    assert ends(path) == [[0, 0, 0.2], [10, 0, 0.2], [10, 5, 0.2]]
    assert volumes(path) == [0, 1, 0.5]
    assert path.moves.speed.tolist() == [20, 20, 10]
    assert path.volume == pytest.approx(1.5 * FILAMENT, rel=1e-6)


@pytest.mark.parametrize(
    "text",
    [
        "G90\nM83\nG1 Z.2\nG1 X10 E1\nG1 X20 E1\n",
        "g90 g21\nm83\ng1 z.2\ng1 x10 e1\ng1 x20 e1\n",
        "G91\nM83\nG1 Z.2\nG1 X10 E1\nG1 X10 E1\n",
        "G91\nG1 Z.2\nG1 X10 E1\nG1 X10 E1\n",
        "G20\nG90\nM83\nG1 Z.00787402\nG1 X.393700787 E.0393700787\nG1 X.787401575 E.0393700787\n",
        "M82\nG1 Z.2\nG1 X10 E1\nG92 E0\nG1 X20 E1\n",
        "M82\nG1 Z.2\nG1 X10 E1\nG92 X0\nG1 X10 E2\n",
        "N1 M82*33\nN2 G1 Z.2*91\nN3G1X10E1*12\nN4 G1 X20 E2 *99\n",
        "M82 ; lengths add up\r\nG1 Z.2 (up)\r\nG1 X10 (G1 X99) E1 ; G1 X77\r\nG1 X20 E2\r\n",
        "M82\rG1 Z.2\rG1 X10 E1\rG1 X20 E2",
        "M82\nG1 Z.2\n\0\0G1 X10 E1\nG1 X20\tE2\0\0\0",
        "M82\nG1 Z.2\nX10 E1\nX20 E2\n",
        "M82\nG1 Z.2\nG1 X 10 E 1\nG1 X+20. E02.00\n",
        "\ufeffM82\nG1 Z.2\nM117 G1 X5 at last\nG1 X10 E1\nSTAMP_NOW T=220 X=5\nEXTRA X5\nG1 X20 E2\n%\n",
        'M82\nG1 Z.2 F400:rise\nG1 X10 E1\nM862.3 P "x"\nG29 P1\nT\nTx\nG1 X20 E2\n',
        "M83\nG1 Z.2\nG1 X10 E1\nG91\nG90\nG1 X20 E1\n",
        "M83\nG1 Z.2\nG1 X10 E1\nG1 E-2 F1800\nG1 X10 E2\nG1 X20 E1\n",
        "M83\nG1 Z.2\nG1 X10 E1\nG1 E-2\nT1\nG1 E-2\nG1 E2\nG1 E-2\nT0\nG1 E2\nG1 X20 E1\nG1 X20.0000 E1e-05\n",
    ],
)
def test_the_same_moves_however_they_are_written(read, text):
    path = read(text)
    laying = path.moves.volume > 1e-3
    assert np.round(path.moves.end[laying, 0], 3).tolist()[-2:] in ([10, 20], [20, 20], [10, 10])
    assert path.moves.volume[laying & (path.moves.end[:, 0] > 1)][:2] / FILAMENT == pytest.approx([1, 1], rel=1e-3)
    length = np.abs(path.moves.end - path.moves.begin)[laying, 0]
    assert length[-2:] == pytest.approx([10, 10], abs=1e-3)


def test_drawn_back_and_pushed_forward_lays_nothing(read):
    path = read(LAYS + "G1 X10 E1\nG1 X12 E0.2 F2400\nG0 X30\nG1 E1\nG1 X40 E2\n")
    assert volumes(path) == [0, 1, 0, 0, 0, 1]
    assert path.moves.fed.astype(float).round(4).tolist() == [0, 1, 0.8, 0, 0.8, 1]


def test_volumes_that_the_file_tells(read):
    assert read("M200 D1.75\n" + LAYS + "G1 X10 E1\n").volume == pytest.approx(1.0, rel=1e-6)
    assert read("M200 S1 D2.85\n" + LAYS + "G1 X10 E1\n").volume == pytest.approx(1.0, rel=1e-6)
    assert read("M200 D0\n" + LAYS + "G1 X10 E1\n").volume == pytest.approx(FILAMENT, rel=1e-6)
    assert read(LAYS + "G1 X10 E1\n", volumetric=True).volume == pytest.approx(1.0, rel=1e-6)
    assert read(LAYS + "G1 X10 E1\n", filament=2.85).volume == pytest.approx(math.pi / 4 * 2.85**2, rel=1e-6)


@pytest.mark.parametrize(
    ("arc", "turn"),
    [
        ("G3 X0 Y10 I-10 J0", 90),
        ("G03X0Y10R10", 90),
        ("G2 X0 Y10 I-10 J0", -270),
        ("G2 X0 Y10 R-10", -270),
        ("G3 X-10 Y0 I-10", 180),
        ("G3 I-10 J0", 360),
        ("G2 X10 Y0 I-10", -360),
    ],
)
def test_arcs_are_as_long_as_they_are(read, arc, turn):
    path = read(LAYS + f"G1 X10 Y0\n{arc} E1\n")
    bent = path.moves.volume > 0
    length = np.hypot(*(path.moves.end - path.moves.begin)[bent, :2].T).sum()
    assert length == pytest.approx(abs(math.radians(turn)) * 10, rel=2e-3)
    assert np.hypot(*path.moves.end[bent, :2].T) == pytest.approx(10, abs=1e-3)
    assert path.volume == pytest.approx(FILAMENT, rel=1e-5)
    # Counter-clockwise is to the left at the start, seen from above.
    assert np.sign(path.moves.end[bent][0, 1]) == np.sign(turn)


def test_a_helix_climbs_evenly(read):
    path = read(LAYS + "G1 X10 Y0 Z0\nG3 X-10 Y0 I-10 Z4 E1\n")
    climbed = np.diff(path.moves.end[path.moves.volume > 0, 2])
    assert climbed == pytest.approx(np.full(len(climbed), climbed[0]), abs=1e-4)


def test_what_is_told_besides(read):
    told = read("M104 S210\nM109 S225\nM140 S45\nM204 S500\nM205 X7 J0.02\nG4 P500\nG4 S2\n" + LAYS + "G1 X9 E1\n").told
    assert (told.nozzle, told.bed, told.jerk, told.deviation, told.pauses) == ((210, 225), (45,), 7, 0.02, 2.5)


@pytest.mark.parametrize(
    ("text", "nozzle", "bed"),
    [
        ("START_PRINT EXTRUDER_TEMP=225 BED_TEMP=40", (225.0,), (40.0,)),
        ("print_start bed=55.5 extruder=210 chamber=30", (210.0,), (55.5,)),
        (
            "SET_HEATER_TEMPERATURE HEATER=extruder TARGET=230\nSET_HEATER_TEMPERATURE HEATER=heater_bed TARGET=45",
            (230.0,),
            (45.0,),
        ),
        ("M109 R215\nM190 R50", (215.0,), (50.0,)),
        ("; NOZZLE=240\nM117 NOZZLE=250\nSET_FAN SPEED=0.5\nBED_MESH PROFILE=x", (), ()),
    ],
)
def test_temperatures_are_heard_however_a_machine_is_told(read, text, nozzle, bed):
    told = read(f"{text}\nG1 X10 E1 F600").told
    assert (told.nozzle, told.bed) == (nozzle, bed)


def test_homing_starts_from_nothing(read):
    path = read("M83\nG1 X50 Y40 Z9\nG28 X\nG1 X10 E1\nG28\nG1 Z.2\nG1 X5 E1\n")
    assert ends(path) == [[50, 40, 9], [0, 40, 9], [10, 40, 9], [0, 0, 0], [0, 0, 0.2], [5, 0, 0.2]]


@pytest.mark.parametrize("size", [7, 50, 333])
def test_chunks_change_nothing(read, monkeypatch, size):
    text = (
        "N1 G90 ;x\r\nM83 (y)\nG1 X1 Y1 Z.2 E.5\nG91\n"
        + "G1 X1 E.25\nX1 E.25\nG2 X1 Y1 R1 E.1\nG92 X0 E9\n" * 20
        + "G90\nG1 X9 E1"
    )
    whole = read(text)
    monkeypatch.setattr(reading, "CHUNK", size)
    parts = read(text)
    for name in ("end", "volume", "speed"):
        np.testing.assert_allclose(getattr(parts.moves, name), getattr(whole.moves, name), atol=1e-4)
    assert parts.told.lines == whole.told.lines


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "no move in it lays"),
        ("hello\nworld\n", "no move in it lays"),
        ("G1 X10 Y10\n", "no move in it lays"),
        (LAYS + "G1 X1..2 E1\n", r"line 5, 'G1 X1\.\.2 E1': a move with a word that is no number"),
        (LAYS + "G1 X1 E1\nG1 X{length} E2\n", "line 6"),
        (LAYS + "G1 X99999999 E1\n", "5000 mm from the origin"),
        (LAYS + "G1 X9 E99999\n", "feeds more than 1000 mm"),
        (LAYS + "G1 X9 E1 F-5\n", "a negative speed"),
        (LAYS + "G2 X9 E1\n", "an arc whose ends"),
        (LAYS + "G2 X9 I1 J0 E1\n", "an arc whose ends"),
        (LAYS + "G5 I0 J3 P0 Q-3 X9 Y9 E1\n", "line 5, .*: a spline, which is not read"),
        (LAYS + "G18\nG2 X6 I3 J0 E1\n", "an arc that is none of the layers' plane"),
        (LAYS + "G1 X9 E1\n" + "M120\n" * 5001, "more than 5,000 times"),
        (b"GCDE\1\0\0\0", "a binary toolpath"),
        (b"PK\3\4", "a zip"),
        (b"\xff\xfeG\x001\0", "UTF-16"),
        (b"x" * (3 << 20), "has no lines"),
    ],
)
def test_what_is_no_toolpath_is_refused_in_one_line(read, text, why):
    with pytest.raises(ToolpathError, match=why) as refusal:
        read(text)
    assert "\n" not in str(refusal.value)
    assert "die.gcode" in str(refusal.value)


def test_a_file_that_is_none(tmp_path):
    for path, why in ((tmp_path / "no.gcode", "is no file"), (tmp_path, "is a folder")):
        with pytest.raises(ToolpathError, match=why):
            read_gcode(path)
    with pytest.raises(ToolpathError, match="from 0"):
        read_gcode(tmp_path / "no.gcode", filament=0)


def test_numbers_are_those_of_python():
    random = np.random.default_rng(1)
    texts = [f"{value:.{digits}f}" for digits in range(9) for value in random.normal(0, 100, 40)]
    texts += ["5", "5.", ".5", "-.5", "+7", "00012.50", "-0", "123456789012345678.25", "0.00000000000000000125"]
    words = gcode.words.read_words("\n".join(f"X{text}" for text in texts).encode())
    assert words.value.tolist() == pytest.approx([float(text) for text in texts], rel=1e-15)
    assert np.isnan(gcode.words.read_words(b"X-\nX.\nX1-2\nX--1\nX1.2.3\nX\nX" + b"1" * 400).value).all()


@pytest.mark.parametrize(
    "text",
    [
        "g90\nm83\ng1z.2\ng1x10e1\ng1e-.8f1800\ng1e.8\ng1x20e1\n",
        "g90\nm83\ng1z.2\ng1x10e1\ng1x10e-2f1800\ng1x10e2\ng1x20e1\n",
        "G90\nM83\nG1 Z.2\nG1 X10 E1\nSAVE_GCODE_STATE NAME=hop\nG91\nG1 Z5 F600\nRESTORE_GCODE_STATE NAME=hop\n"
        "G1 X10 Z.2 F900\nG1 X20 E1\n",
        "M82\nG1 Z.2\nG1 X10 E1\nsave_gcode_state\nG91\nM83\nG1 Z5 E-2\nG1 E2\nrestore_gcode_state move=1\nG1 X20 E2\n",
        "M83\nG1 Z.2\nG1 X10 E1\nM120\nG91\nG1 Z5\nG1 Z-5\nM121\nM121\nG1 X20 E1\n",
        "M121\nM83\nG1 Z.2\nG1 X10 E1\nM221 T1 S50\nG1 X20 E1\n",
        "M221 S50\nM221 T0 S100\nM83\nG1 Z.2\nG1 X10 E1\nG1 X20 E1\n",
    ],
)
def test_habits_of_other_programs_change_nothing(read, text):
    path = read(text)
    laying = path.moves.volume > 1e-3
    assert path.moves.end[laying].round(3).tolist() == [[10, 0, pytest.approx(0.2)], [20, 0, pytest.approx(0.2)]]
    assert path.moves.begin[laying, 0].round(3).tolist() == [0, 10]
    assert path.moves.volume[laying] / FILAMENT == pytest.approx([1, 1], rel=1e-3)


@pytest.mark.parametrize("power", ["1e-05", "1.5e-07", "-2.25e-6", "9.313225746154785e-10"])
def test_numbers_with_small_powers_are_numbers(power):
    words = gcode.words.read_words(gcode.words.plain_text(f"G1 X{power} E{power}".encode()))
    assert words.value.tolist() == pytest.approx([1, float(power), float(power)], rel=1e-12)


def test_volumes_are_switched_off_and_on_again(read):
    off, on = "M200 S0 D1.75\n", "M200 S1\n"
    assert read(off + LAYS + "G1 X10 E1\n").volume == pytest.approx(FILAMENT, rel=1e-6)
    assert read(off + on + LAYS + "G1 X10 E1\n").volume == pytest.approx(1.0, rel=1e-6)
    text = "M200 D1.75\n" + LAYS + "G1 X10 E1\nM200 D0\nG1 X20 E2\n"
    assert read(text).volume == pytest.approx(1 + FILAMENT, rel=1e-6)


def test_volumes_that_are_switched_off_stay_so_in_the_next_chunk(read, monkeypatch):
    monkeypatch.setattr(reading, "CHUNK", 16)
    text = "M200 D1.75\n" + LAYS + "G1 X10 E1\nM200 D0\n" + "G1 X10\n" * 9 + "G1 X20 E2\n"
    assert read(text).volume == pytest.approx(1 + FILAMENT, rel=1e-6)


def test_an_arc_goes_round_as_often_as_it_says(read):
    path = read(LAYS + "G1 X10 Y0\nG3 X0 Y10 I-10 J0 P2 E1\n")
    bent = path.moves.volume > 0
    length = np.hypot(*(path.moves.end - path.moves.begin)[bent, :2].T).sum()
    assert length == pytest.approx(2.25 * 2 * math.pi * 10, rel=2e-3)


def test_lengths_that_nothing_says_to_be_relative_are_seen_to_be(read):
    text = "G90\nG1 Z.2 F900\n" + "".join(f"G1 X{at} E{0.3 + 0.1 * (at % 3):.2f}\n" for at in range(1, 60))
    said, unsaid = read("M83\n" + text), read(text)
    assert unsaid.volume == pytest.approx(said.volume, rel=1e-6)
    assert (len(said.told.guesses), len(unsaid.told.guesses)) == (0, 1)
    # What goes back now and then is drawn back on the way.
    wiped = "".join(f"G1 X{at} E{at}\n" + (f"G1 X{at - 0.5} E{at - 0.2}\n" if at % 9 == 0 else "") for at in range(60))
    assert read("G90\nG1 Z.2 F900\n" + wiped).told.guesses == ()
