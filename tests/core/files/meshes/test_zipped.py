"""Archives of pieces are such as the standard library opens, and hold the pieces."""

import io
import zipfile

from stampwright.files.meshes.zipped import piece_of, zipped


def test_an_archive_of_shared_pieces_opens_and_holds_what_they_hold():
    shared, empty = piece_of(b"<vertex/>" * 5_000), piece_of(b"")
    one = [piece_of(b"a"), shared, piece_of(b"b")]
    archive = zipped([("one.xml", one), ("two", [shared, shared]), ("none", [empty])])
    with zipfile.ZipFile(io.BytesIO(archive)) as opened:
        assert opened.testzip() is None
        assert opened.namelist() == ["one.xml", "two", "none"]
        assert opened.read("one.xml") == b"a" + shared.plain + b"b"
        assert opened.read("two") == 2 * shared.plain
        assert opened.read("none") == b""
        assert {info.date_time for info in opened.infolist()} == {(1980, 1, 1, 0, 0, 0)}
