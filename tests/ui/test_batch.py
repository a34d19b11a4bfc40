"""Stamps made without a window, as ``blender -b`` does it for many files."""

import json

import pytest

SCRIPT = """
import sys
import bpy

artwork, folder = sys.argv[sys.argv.index("--") + 1 :]
bpy.ops.stampwright.import_artwork(filepath=artwork, become="STAMP")
stamp = bpy.context.object.stampwright
stamp.base.outline = "rectangle"
stamp.preflight.repair = True
bpy.ops.stampwright.export_files(directory=folder)
"""


@pytest.fixture(scope="module")
def batch(host):
    """Return a function that runs the script on a file of the host's folder, and returns how it went."""
    (host.place / "batch.py").write_text(SCRIPT)
    install = ("extension", "install-file", "-r", "user_default", "-e", host.seen / host.package)
    done = host.run("-b", "--command", *install)
    assert done.returncode == 0, done.stdout

    def run(artwork, folder):
        script = ("--python-exit-code", "1", "--python", host.seen / "batch.py")
        return host.run("-b", *script, "--", host.seen / artwork, host.seen / folder)

    return run


def test_a_stamp_is_made_of_a_file_without_a_window(host, batch):
    done = batch("ownership-mark.svg", "made")
    assert done.returncode == 0, done.stdout
    made = host.place / "made" / "ownership-mark"
    assert json.loads((made / "report.json").read_text())["proof"]["iou"] > 0.99
    assert json.loads((made / "job.json").read_text())["base"]["outline"] == "rectangle"
    again = batch("ownership-mark.svg", "made")
    assert again.returncode == 1
    assert "already" in again.stdout, "what is there is kept, and nobody is asked"


def test_what_cannot_be_read_ends_a_batch_with_one_line(batch):
    done = batch("missing.svg", "none")
    assert done.returncode == 1
    assert "missing.svg: cannot be read" in done.stdout
