"""The 3MF Consortium's reference reader takes our files without a warning."""

from __future__ import annotations

from pathlib import Path

import lib3mf
import pytest
from shapely.geometry import Point, box
from stampwright.files import PrintedPart, write_3mf
from stampwright.job.materials import MATERIALS
from stampwright.solids import extrude, revolve


def test_the_reference_reader_reads_every_part_without_a_warning(tmp_path: Path) -> None:
    die = extrude(Point(0, 0).buffer(25).difference(box(2, 3, 9, 14)), 0.0, 4.0, name="die")
    handle = revolve([(0, 0), (17, 0), (11, 20), (15, 40), (0, 45)], name="handle")
    path = tmp_path / "stamp.3mf"
    write_3mf(
        path, [PrintedPart(die, MATERIALS["tpu-95a"]), PrintedPart(handle, MATERIALS["pla"])], title="Proof & <one>"
    )

    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    assert reader.GetWarningCount() == 0
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter

    meshes = model.GetMeshObjects()
    for solid in (die, handle):
        assert meshes.MoveNext()
        mesh = meshes.GetCurrentMeshObject()
        assert mesh.GetName() == solid.name
        assert mesh.IsManifoldAndOriented()
        assert (mesh.GetVertexCount(), mesh.GetTriangleCount()) == (len(solid.vertices), len(solid.triangles))
        low, high = solid.bounds
        outbox = mesh.GetOutbox()
        assert list(outbox.MinCoordinate) == pytest.approx(low.tolist(), abs=1e-5)
        assert list(outbox.MaxCoordinate) == pytest.approx(high.tolist(), abs=1e-5)
    assert not meshes.MoveNext()

    materials = model.GetBaseMaterialGroups()
    assert materials.MoveNext()
    group = materials.GetCurrentBaseMaterialGroup()
    assert [group.GetName(each) for each in group.GetAllPropertyIDs()] == [
        MATERIALS["tpu-95a"].label,
        MATERIALS["pla"].label,
    ]
