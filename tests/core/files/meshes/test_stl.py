"""STL files are binary, exact, and read back as they were; damaged ones are refused in one line."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh
from stampwright.errors import MeshFileError, OutputError
from stampwright.files import read_mesh, read_stl, stl_bytes, write_stl
from stampwright.files.meshes.stl import stl_from
from stampwright.solids import check_soundness
from stampwright.solids.solid import Solid


def as_text(solid: Solid) -> str:
    lines = ["solid text"]
    for corners in solid.vertices[solid.triangles]:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += [f"  vertex {x!r} {y:.9e} {z}" for x, y, z in corners.tolist()]
        lines += ["endloop", "endfacet"]
    return "\n".join([*lines, "endsolid text", ""])


def test_a_binary_file_is_84_bytes_and_50_for_each_triangle(block: Solid) -> None:
    # Binary STL as described by the Library of Congress, fdd000505: 80 bytes, a count, 50 bytes a facet.
    content = stl_bytes(block)
    assert len(block.triangles) == 12
    assert len(content) == 684
    assert not content.lower().startswith(b"solid")
    assert content[:80].isascii()
    assert content[84 + 48 : 84 + 50] == b"\0\0"


def test_normals_are_reckoned_from_the_corners(plate: Solid) -> None:
    facets = np.frombuffer(stl_bytes(plate)[84:], dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    normals = np.cross(facets["v"][:, 1] - facets["v"][:, 0], facets["v"][:, 2] - facets["v"][:, 0])
    along = np.einsum("ij,ij->i", normals, facets["n"]) / np.linalg.norm(normals, axis=1)
    assert along.min() > 0.9999


def test_what_is_written_reads_back_the_same(tmp_path: Path, plate: Solid) -> None:
    write_stl(tmp_path / "die.stl", plate)
    back = read_stl(tmp_path / "die.stl")
    assert back.name == "die"
    assert back.volume == pytest.approx(plate.volume, rel=1e-9)
    assert (len(back.vertices), len(back.triangles)) == (len(plate.vertices), len(plate.triangles))
    assert check_soundness(back.vertices, back.triangles).sound


def test_what_a_file_should_hold_only_spares_work(plate: Solid) -> None:
    content = stl_bytes(plate)
    moved, turned, short = bytearray(content), bytearray(content), content[:84] + content[134:]
    moved[84 + 12 : 84 + 16] = np.float32(7.25).tobytes()
    turned[84 + 12 : 84 + 36] = content[84 + 24 : 84 + 36] + content[84 + 12 : 84 + 24]
    short = short[:80] + (len(plate.triangles) - 1).to_bytes(4, "little") + short[84:]
    spare = Solid("die", np.vstack((plate.vertices, [(9.0, 9.0, 9.0)])), plate.triangles)
    for read in (content, bytes(moved), bytes(turned), short):
        plain = stl_from(read, "die")
        for meant in (plate, spare):
            found = stl_from(read, "die", meant=meant)
            assert len(found.vertices) == len(plain.vertices)
            assert np.array_equal(found.vertices[found.triangles], plain.vertices[plain.triangles])


def test_another_reader_finds_it_watertight_and_of_the_same_volume(tmp_path: Path, plate: Solid) -> None:
    write_stl(tmp_path / "die.stl", plate)
    mesh = trimesh.load(tmp_path / "die.stl")
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume == pytest.approx(plate.volume, rel=1e-6)


def test_text_files_read_like_binary_ones(tmp_path: Path, plate: Solid) -> None:
    path = tmp_path / "text.stl"
    for text in (as_text(plate), as_text(plate).upper(), as_text(plate).replace("\n", "\r\n")):
        path.write_text(text)
        back = read_mesh(path)
        assert back.volume == pytest.approx(plate.volume, rel=1e-9)
        assert len(back.vertices) == len(plate.vertices)


def test_a_binary_file_that_begins_with_solid_is_still_read(tmp_path: Path, block: Solid) -> None:
    path = tmp_path / "odd.stl"
    path.write_bytes(b"solid" + stl_bytes(block)[5:])
    assert read_stl(path).volume == pytest.approx(block.volume)


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (lambda binary, text: b"", "empty"),
        (lambda binary, text: binary[:60], "no STL"),
        (lambda binary, text: binary[:84], "cut short"),
        (lambda binary, text: binary[:-7], "cut short"),
        (lambda binary, text: binary + b"more", "no STL"),
        (lambda binary, text: b"\x89PNG\r\n\x1a\n" + bytes(500), "no STL"),
        (lambda binary, text: binary[:80] + bytes(4), "no triangles"),
        (lambda binary, text: binary[:96] + b"\x00\x00\xc0\x7f" + binary[100:], "finite"),
        (lambda binary, text: b"solid nothing\nendsolid\n", "no triangles"),
        (lambda binary, text: text[: len(text) // 2], "cut short"),
        (lambda binary, text: text.replace(b"vertex 20.0", b"vertex what", 1), "no number"),
        (lambda binary, text: text.replace(b"vertex 20.0", b"vertex 1e999", 1), "finite"),
        (lambda binary, text: text.replace(b"vertex 20.0", b"corner 20.0", 1), "damaged"),
    ],
)
def test_damaged_files_are_refused_in_one_line(spoil: object, message: str, tmp_path: Path, block: Solid) -> None:
    path = tmp_path / "bad.stl"
    path.write_bytes(spoil(stl_bytes(block), as_text(block).encode()))
    with pytest.raises(MeshFileError, match=message) as caught:
        read_mesh(path)
    assert str(path) in str(caught.value)
    assert "\n" not in str(caught.value)


def test_missing_files_and_folders_are_refused(tmp_path: Path) -> None:
    with pytest.raises(MeshFileError, match="does not exist"):
        read_mesh(tmp_path / "none.stl")
    with pytest.raises(MeshFileError, match="folder"):
        read_mesh(tmp_path)
    with pytest.raises(MeshFileError, match="does not exist"):
        read_mesh("bad\0name.stl")


def test_an_existing_file_is_kept_unless_told(tmp_path: Path, plate: Solid, block: Solid) -> None:
    path = tmp_path / "die.stl"
    write_stl(path, plate)
    with pytest.raises(OutputError, match="already"):
        write_stl(path, block)
    assert read_stl(path).volume == pytest.approx(plate.volume)
    write_stl(path, block, overwrite=True)
    assert read_stl(path).volume == pytest.approx(block.volume)
    assert [each.name for each in tmp_path.iterdir()] == ["die.stl"]
