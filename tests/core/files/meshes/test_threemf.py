"""3MF files hold every part by name, apart from each other; hostile and damaged ones are refused in one line."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import lib3mf
import numpy as np
import pytest
import stampwright.files.meshes.threemf_reading as reading
from stampwright.errors import MeshFileError, OutputError
from stampwright.files import PrintedPart, read_3mf, read_mesh, threemf_bytes, write_3mf, write_stl
from stampwright.files.meshes.threemf import MODEL_PATH, lay_on_bed
from stampwright.files.meshes.threemf_blocks import Known
from stampwright.files.meshes.zipped import PackedPiece
from stampwright.job.materials import MATERIALS
from stampwright.solids.solid import Solid

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
TETRAHEDRON = (
    '<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="6" y="0" z="0"/><vertex x="0" y="6" z="0"/>'
    '<vertex x="0" y="0" z="6"/></vertices><triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/>'
    '<triangle v1="1" v2="2" v3="3"/><triangle v1="0" v2="3" v3="2"/></triangles></mesh>'
)  # volume 36


@pytest.fixture
def parts(plate: Solid, block: Solid) -> list[PrintedPart]:
    return [PrintedPart(plate, MATERIALS["tpu-95a"]), PrintedPart(block, MATERIALS["pla"])]


def rewritten(path: Path, change: dict[str, str | bytes | None]) -> Path:
    """Write a 3MF file with some of its parts replaced, or left out."""
    whole = io.BytesIO(threemf_bytes([Solid("one", np.eye(3), np.array([[0, 1, 2]]))]))
    with zipfile.ZipFile(whole) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = change.get(name, old.read(name))
            if content is not None:
                new.writestr(name, content)
    return path


def model(objects: str, items: str = '<item objectid="1"/>', about: str = "") -> str:
    return f'<model xmlns="{CORE}" {about}><resources>{objects}</resources><build>{items}</build></model>'


def test_parts_read_back_by_name_about_their_own_origin(tmp_path: Path, parts: list[PrintedPart]) -> None:
    path = tmp_path / "stamp.3mf"
    path.write_bytes(threemf_bytes(parts, title="Mossgate"))
    back = read_3mf(path)
    assert [solid.name for solid in back] == ["die", "handle"]
    for solid, part in zip(back, parts, strict=True):
        assert solid.vertices.astype(np.float32).tolist() == part.solid.vertices.astype(np.float32).tolist()
        assert solid.volume == pytest.approx(part.solid.volume, rel=1e-7)
        assert (solid.vertices.astype("f4") == part.solid.vertices.astype("f4")).all()
    assert read_mesh(path).name == "die"
    assert read_mesh(path, part="handle").name == "handle"
    with pytest.raises(MeshFileError, match="2 parts"):
        read_mesh(path, part="lid")


def test_the_same_parts_give_the_same_bytes(parts: list[PrintedPart]) -> None:
    assert threemf_bytes(parts, title="one") == threemf_bytes(parts, title="one")


def test_names_are_escaped(tmp_path: Path, block: Solid) -> None:
    awkward = Solid('<&"\x07>', block.vertices, block.triangles)
    path = tmp_path / "odd.3mf"
    path.write_bytes(threemf_bytes([PrintedPart(awkward, MATERIALS["pla"])], title="]]><x>&"))
    assert read_3mf(path)[0].name == '<&" >'


@pytest.mark.parametrize("bed_width", [60, 130, 220, 1000])
def test_parts_stand_apart_on_the_bed_in_the_positive_octant(bed_width: float, plate: Solid, block: Solid) -> None:
    solids = [plate, block, plate, block, block]
    boxes = []
    for solid, spot in zip(solids, lay_on_bed(solids, (bed_width, 1000.0)), strict=True):
        low, high = solid.bounds
        assert (spot.bed, spot.turn) == (0, 0.0)
        move = np.array((spot.x, spot.y, -low[2]))
        boxes.append((low + move, high + move))
        assert (low + move >= 0).all()
        assert low[2] + move[2] == 0
        assert high[0] + move[0] <= max(bed_width, 70)
    for index, (low, high) in enumerate(boxes):
        for other_low, other_high in boxes[:index]:
            assert (high[:2] < other_low[:2]).any() or (other_high[:2] < low[:2]).any()


def test_units_and_transforms_are_followed(tmp_path: Path) -> None:
    objects = (
        f'<object id="1">{TETRAHEDRON}</object><object id="2"><components><component objectid="1" '
        'transform="-1 0 0 0 1 0 0 0 1 10 0 0"/><component objectid="1"/></components></object>'
    )
    items = '<item objectid="2" transform="0 1 0 -1 0 0 0 0 2 500 500 0"/>'
    path = rewritten(tmp_path / "nested.3mf", {MODEL_PATH: model(objects, items, 'unit="inch"')})
    solid = read_3mf(path)[0]
    assert solid.volume == pytest.approx(2 * 36 * 2 * 25.4**3)
    low, high = solid.bounds
    assert low / 25.4 == pytest.approx([-6, 0, 0])
    assert high / 25.4 == pytest.approx([0, 10, 12])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"_rels/.rels": None}, "no 3MF"),
        ({"_rels/.rels": "<Relationships/>"}, "no 3MF"),
        ({MODEL_PATH: None}, "no 3MF"),
        ({MODEL_PATH: b""}, "damaged"),
        ({MODEL_PATH: "<model"}, "damaged"),
        ({MODEL_PATH: model("", "")}, "nothing to print"),
        ({MODEL_PATH: model("")}, "before it is there"),
        ({MODEL_PATH: model('<object id="1"/>')}, "without triangles"),
        ({MODEL_PATH: model(f'<object id="1">{TETRAHEDRON}</object>', about='unit="ell"')}, "no unit"),
        ({MODEL_PATH: model(f'<object id="1">{TETRAHEDRON.replace("6", "nan", 1)}</object>')}, "finite"),
        ({MODEL_PATH: model(f'<object id="1">{TETRAHEDRON.replace("6", "six", 1)}</object>')}, "no number"),
        ({MODEL_PATH: model(f'<object id="1">{TETRAHEDRON.replace("v3", "v4", 1)}</object>')}, "lacks"),
        ({MODEL_PATH: model(f'<object id="1">{TETRAHEDRON.replace("v1=", "v1=", 1)}</object>', "<item/>")}, "lacks"),
        ({MODEL_PATH: model(f'<object id="1">{TETRAHEDRON}</object>'.replace('"3"', '"99"'))}, "not there"),
        (
            {MODEL_PATH: model('<object id="1"><components><component objectid="1"/></components></object>')},
            "part of itself",
        ),
        (
            {
                MODEL_PATH: model(
                    f'<object id="1">{TETRAHEDRON}</object>', about='xmlns:q="urn:x" requiredextensions="q"'
                )
            },
            "extension",
        ),
        (
            {
                MODEL_PATH: '<!DOCTYPE model [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]>'
                + model(f'<object id="1" name="&b;">{TETRAHEDRON}</object>')
            },
            "document type",
        ),
    ],
)
def test_damaged_and_hostile_files_are_refused_in_one_line(
    change: dict[str, str | bytes | None], message: str, tmp_path: Path
) -> None:
    path = rewritten(tmp_path / "bad.3mf", change)
    with pytest.raises(MeshFileError, match=message) as caught:
        read_mesh(path)
    assert str(path) in str(caught.value)
    assert "\n" not in str(caught.value)


def test_objects_that_multiply_are_stopped(tmp_path: Path) -> None:
    nested = [f'<object id="0">{TETRAHEDRON}</object>']
    for level in range(1, 40):
        twice = f'<component objectid="{level - 1}"/>' * 2
        nested.append(f'<object id="{level}"><components>{twice}</components></object>')
    path = rewritten(tmp_path / "many.3mf", {MODEL_PATH: model("".join(nested), '<item objectid="39"/>')})
    with pytest.raises(MeshFileError, match="more than"):
        read_mesh(path)


def test_a_file_that_unpacks_without_end_is_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "LARGEST_MODEL", 1_000_000)
    path = rewritten(tmp_path / "bomb.3mf", {MODEL_PATH: model(" " * 5_000_000)})
    with pytest.raises(MeshFileError, match="unpacks to more"):
        read_mesh(path)


def test_a_truncated_archive_is_refused(tmp_path: Path, parts: list[PrintedPart]) -> None:
    path = tmp_path / "short.3mf"
    whole = threemf_bytes(parts)
    for length in (10, len(whole) // 2, len(whole) - 3):
        path.write_bytes(whole[:length])
        with pytest.raises(MeshFileError, match="damaged"):
            read_mesh(path)
    spoiled = bytearray(whole)
    spoiled[len(whole) // 2] ^= 0xFF
    path.write_bytes(spoiled)
    with pytest.raises(MeshFileError):
        read_mesh(path)


def test_chosen_parts_go_into_one_file_with_or_without_filament(tmp_path: Path, plate: Solid, block: Solid) -> None:
    path = tmp_path / "chosen.3mf"
    write_3mf(path, [plate, PrintedPart(block, MATERIALS["pla"])])
    assert [solid.name for solid in read_3mf(path)] == ["die", "handle"]
    write_3mf(path, {"die": plate, "handle": block}, overwrite=True)
    assert [len(solid.triangles) for solid in read_3mf(path)] == [len(plate.triangles), len(block.triangles)]
    # The consortium's own library takes parts without a material, too.
    reader = lib3mf.get_wrapper().CreateModel().QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    assert reader.GetWarningCount() == 0


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        ([], "no part"),
        ([None], "not NoneType"),
        ([Solid("die", np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int32))], "die: has no triangles"),
        ([Solid("die", np.full((3, 3), np.nan), np.array([[0, 1, 2]]))], "no numbers"),
        ([Solid("die", np.eye(3) * 1e300, np.array([[0, 1, 2]]))], "too large"),
        ([Solid("die", np.eye(3), np.array([[0, 1, 3]]))], "not there"),
    ],
)
@pytest.mark.filterwarnings("ignore:overflow encountered")
def test_what_could_not_be_read_again_is_not_written(parts: list, told: str, tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=told):
        write_3mf(tmp_path / "none.3mf", parts)
    if parts:
        with pytest.raises(OutputError, match=told):
            write_stl(tmp_path / "none.stl", parts[0])
    assert list(tmp_path.iterdir()) == []


def outcome(path: Path) -> object:
    """Return what reading a file gives: every number of every part, or the one line that refuses it."""
    try:
        solids = read_3mf(path)
    except MeshFileError as error:
        return str(error)
    return [(solid.name, solid.vertices.tolist(), solid.triangles.tolist()) for solid in solids]


def test_own_files_are_read_by_blocks_and_give_what_reading_every_element_gives(
    tmp_path: Path, parts: list[PrintedPart], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "stamp.3mf"
    path.write_bytes(threemf_bytes(parts))
    with monkeypatch.context() as patch:
        patch.setattr(reading, "_VERTEX", "never asked")
        by_blocks = outcome(path)
    monkeypatch.setattr(reading, "take_blocks", lambda *_: None)
    assert outcome(path) == by_blocks
    assert len(by_blocks[0][1]) == len(parts[0].solid.vertices)


PASSAGES = [
    (b'x="0"', b'x="+5"'),
    (b'x="0"', b'x="-"'),
    (b'x="0"', b'x="."'),
    (b'x="0"', b'x="-.5e-3"'),
    (b'x="0"', b'x="1.2.3"'),
    (b'x="0"', b'x="1234567890123456.5"'),
    (b'x="0"', b'x="-0.0"'),
    (b"<vertex", b"<vert.ex"),
    (b'" y="', b'"- y="'),
    (b'v1="0"', b'v2="0"'),
    (b'v1="0"', b'v="10"'),
    (b'" v2="', b'" 2v="'),
    (b'v1="0"', b'v1=""'),
    (b"</triangles>", b"</triangles><triangles>\n</triangles>"),
    (b"</triangles>", b'</triangles><triangles>\n<triangle v1="1" v2="0" v3="2"/>\n</triangles>'),
    (b"</build>", b'<triangles>\n<triangle v1="1" v2="0" v3="2"/>\n</triangles></build>'),
    (b'x="0"', b'x="1e5e"'),
    (b'x="0"', b'x=""'),
    (b'x="0"', b'x="1 2"'),
    (b'x="0"', b'x=" 1"'),
    (b'x="0"', b'x="1_0"'),
    (b'x="0"', b'x="1\x0c"'),
    (b'x="0"', b'x="&#49;"'),
    (b'x="0"', b"x='0'"),
    (b'x="0" y="0"', b'x="" y="1-2"'),
    (b'x="0" y="0"', b'y="0" x="1"'),
    (b'v1="0"', b'v1="99999999999999999999"'),
    (b'v1="0"', b'v1="7"'),
    (b'v1="0"', b'v1="-1"'),
    (b'v1="0"', b'v1="\xd9\xa0"'),
    (b"<vertices>", b"<!-- <vertices>\n</vertices> --><vertices>"),
    (b"<vertices>", b'<vertices xmlns="urn:other">'),
    (b"<vertices>\n", b'<vertices>\n<vertex x="3" y="3" z="3" />\n'),
    (b"</vertices>", b'<vertex x="3" y="3" z="3"/></vertices>'),
    (b"<triangles>\n", b"<triangles>\n<?go on?>\n"),
    (b"</triangles>", b"</vertices>"),
    (b"<triangles>", b"<vertices>\n</vertices><triangles>"),
]


@pytest.mark.parametrize(("passage", "instead"), PASSAGES)
def test_whatever_differs_from_the_own_form_is_read_element_by_element(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, passage: bytes, instead: bytes
) -> None:
    with zipfile.ZipFile(io.BytesIO(threemf_bytes([Solid("one", np.eye(3), np.array([[0, 1, 2]]))]))) as archive:
        whole = archive.read(MODEL_PATH)
    assert passage in whole
    path = rewritten(tmp_path / "odd.3mf", {MODEL_PATH: whole.replace(passage, instead, 1)})
    quick = outcome(path)
    monkeypatch.setattr(reading, "take_blocks", lambda *_: None)
    assert outcome(path) == quick


def test_files_of_known_pieces_give_what_each_gives_alone(tmp_path: Path, parts: list[PrintedPart]) -> None:
    packed: dict[Solid, PackedPiece] = {}
    paths = [tmp_path / "all.3mf", tmp_path / "some.3mf", tmp_path / "others.3mf"]
    for path, held in zip(paths, (parts, parts[:1], [*parts[1:], *parts[1:]]), strict=True):
        path.write_bytes(threemf_bytes(held, packed=packed))
    known = Known(packed.values())
    for path in paths:
        together = [
            (solid.name, solid.vertices.tolist(), solid.triangles.tolist()) for solid in read_3mf(path, known=known)
        ]
        assert together == outcome(path)
    assert set(known.taken) == set(packed.values())
    # What was read before is not read again.
    first, again = read_3mf(paths[0], known=known)[0], read_3mf(paths[1], known=known)[0]
    assert first.vertices is again.vertices


def test_a_piece_that_does_not_hold_what_it_should_is_not_believed(tmp_path: Path) -> None:
    path, solid = tmp_path / "one.3mf", Solid("one", np.eye(3), np.array([[0, 1, 2]]))
    packed: dict[Solid, PackedPiece] = {}
    path.write_bytes(threemf_bytes([solid], packed=packed))
    (piece,) = packed.values()
    false = PackedPiece(piece.plain.replace(b'x="1"', b'x="2"'), piece.packed)
    assert read_3mf(path, known=Known([false]))[0].vertices.tolist() == np.eye(3).tolist()
    # One that was found before stands for its bytes only where these are the very same.
    known = Known([piece])
    read_3mf(path, known=known)
    whole = bytearray(path.read_bytes())
    whole[whole.index(piece.packed) + len(piece.packed) // 2] ^= 1
    path.write_bytes(bytes(whole))
    with pytest.raises(MeshFileError, match="damaged"):
        read_3mf(path, known=known)
