"""Each check of the sources finds a fault that is planted, and lets pass what is none."""

from pathlib import Path

import pytest

from . import imports, names, overlays, raises, sizes
from .sources import read_sources


@pytest.fixture
def plant(tmp_path):
    """Return a function from files, by name, to the folder of a package that holds them."""

    def planted(**files: str) -> Path:
        for name, text in {"__init__": "", **files}.items():
            path = tmp_path.joinpath("pack", *name.split("__in__")).with_suffix(".py")
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text)
        return tmp_path / "pack"

    return planted


def imports_of(folder: Path, *rooms: str) -> list[str]:
    return [str(fault) for fault in imports.find_faults(folder, [*rooms, "__init__"], folder.parent)]


def test_an_import_from_a_room_above_is_found_with_file_and_line(plant):
    folder = plant(low="\nfrom .high import work\n", high="def work(): ...\n")
    assert imports_of(folder, "low", "high") == ["pack/low.py:2: low is below high and must not take pack.high from it"]
    assert imports_of(folder, "high", "low") == []


@pytest.mark.parametrize(
    "line", ["from pack import high", "import pack.high", "from . import high", "from .high import *"]
)
def test_every_way_to_write_an_import_up_is_found(plant, line):
    assert len(imports_of(plant(low=line, high=""), "low", "high")) == 1


def test_a_room_without_a_place_is_found(plant):
    assert "room lost has no place" in imports_of(plant(low="", lost=""), "low")[0]


def test_a_circle_within_a_room_is_found_with_the_lines_of_its_imports(plant):
    folder = plant(
        room__in____init__="",
        room__in__a="from .b import x",
        room__in__b="\nfrom .c import x",
        room__in__c="from . import a",
    )
    way = "pack.room.a (line 1) > pack.room.b (line 2) > pack.room.c (line 1) > pack.room.a"
    assert imports_of(folder, "room") == [f"pack/room/a.py:1: a circle of imports: {way}"]


def test_two_circles_through_one_module_are_both_found(plant):
    folder = plant(a="from .b import x\nfrom .c import x", b="from .a import y", c="from .a import y")
    assert sum("circle" in found for found in imports_of(folder, "a", "b", "c")) == 2


def test_a_circle_through_a_function_is_found_and_named_so(plant):
    folder = plant(
        room__in____init__="", room__in__a="from .b import x", room__in__b="def f():\n    from .a import y\n"
    )
    (found,) = imports_of(folder, "room")
    assert "pack.room.b (line 2, inside a function)" in found


def test_a_circle_through_a_package_that_opens_its_files_is_found(plant):
    folder = plant(room__in____init__="from .a import x", room__in__a="from ..room import y")
    assert len(imports_of(folder, "room")) == 1


def test_a_circle_through_a_package_on_the_way_to_a_module_is_found(plant):
    # To take room.b is to open room, which takes a, which takes the other room again.
    folder = plant(
        other="from .room.b import x",
        room__in____init__="from .a import x",
        room__in__a="from ..other import y",
        room__in__b="",
    )
    assert any("circle" in found for found in imports_of(folder, "other", "room"))


def test_imports_for_types_alone_close_no_circle_and_may_go_up(plant):
    types = "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from .high import x\n"
    assert imports_of(plant(low=types, high="from .low import y"), "low", "high") == []


ERRORS = "class Base(Exception): ...\nclass BadJob(Base): ...\nclass BadArt(Base): ...\n"


def silent_in(plant, text: str) -> list[str]:
    folder = plant(errors=ERRORS, room=text)
    return [str(fault) for fault in raises.find_faults(folder, folder / "errors.py", folder.parent)]


def test_a_public_function_that_hides_what_it_raises_is_found(plant):
    found = silent_in(plant, 'def read():\n    """Read."""\n    raise BadJob("no")\n')
    assert found == ["pack/room.py:1: read raises BadJob without saying so"]


@pytest.mark.parametrize("told", ["BadJob", "Base"])
def test_one_that_tells_its_error_or_a_wider_one_is_sound(plant, told):
    assert (
        silent_in(plant, f'def read():\n    """Read. Raises :class:`{told}` always."""\n    raise BadJob("no")\n') == []
    )


def test_one_that_tells_of_another_error_is_found(plant):
    assert len(silent_in(plant, 'def read():\n    """Read. Raises :class:`BadArt`."""\n    raise BadJob("no")\n')) == 1


def test_one_that_raises_as_another_does_is_as_sound_as_the_other(plant):
    other = 'def other():\n    """Do. Raises :class:`{}`."""\n'
    text = 'def read():\n    """Read; raises as :func:`other` does."""\n    raise BadJob\n'
    assert silent_in(plant, other.format("BadJob") + text) == []
    assert len(silent_in(plant, other.format("BadArt") + text)) == 1


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("def _in():\n    raise BadJob\ndef read():\n    return _in()\n", 1),
        ("def _in():\n    raise BadJob\ndef _on():\n    _in()\ndef read():\n    with _on(): ...\n", 1),
        ("class Job:\n    def read(self):\n        self._in()\n    def _in(self):\n        raise errors.BadJob\n", 1),
        ("def read():\n    try:\n        raise BadJob\n    except Base:\n        return 1\n", 0),
        ("def read():\n    try:\n        raise BadJob\n    except BadArt:\n        return 1\n", 1),
        ("def read():\n    try:\n        raise BadJob\n    except Base:\n        raise\n", 1),
        ("def _read():\n    raise BadJob\n", 0),
        ("def read():\n    raise ValueError\n", 0),
        ("def read():\n    def inner():\n        raise BadJob\n    return inner\n", 0),
    ],
)
def test_errors_are_followed_through_calls_and_to_where_they_are_caught(plant, text, found):
    assert len(silent_in(plant, text)) == found


def sizes_in(folder: Path, *tables: str) -> list[str]:
    return [str(fault) for fault in sizes.find_faults(read_sources(folder, folder.parent), tables)]


def test_a_long_file_and_a_long_function_are_found(plant):
    folder = plant(long="#\n" * 401, big="\ndef big():\n" + "    x = 1\n" * 50, right="#\n" * 400)
    assert sorted(sizes_in(folder)) == [
        "pack/big.py:2: big has 51 lines; a function has at most 50",
        "pack/long.py:1: 401 lines; a file has at most 400",
    ]


def test_what_is_listed_as_a_table_may_be_long_but_must_be(plant):
    folder = plant(big="def big():\n" + "    x = 1\n" * 50)
    assert sizes_in(folder, "pack/big.py::big") == []
    assert sizes_in(folder, "pack/big.py::big", "pack/none.py") == [
        "pack/none.py:1: pack/none.py is listed as long, and is not"
    ]


def test_a_full_folder_is_named(plant):
    files = {f"file_{number}": "" for number in range(11)}
    folder = plant(**files)
    assert sizes.full_folders(read_sources(folder, folder.parent)) == {"pack": 11}


def names_of(folder: Path, *shared: str) -> list[str]:
    return [str(fault) for fault in names.find_faults(read_sources(folder, folder.parent), shared)]


def test_two_classes_of_one_name_are_found(plant):
    folder = plant(a="class Mark:\n    x: int\n", b="\nclass Mark:\n    y: int\n", c="class _Mark: ...\n")
    assert names_of(folder) == ["pack/b.py:2: Mark means something else in pack/a.py:1"]
    assert names_of(folder, "Mark") == []


def test_two_values_of_one_name_are_found_when_other_files_take_both(plant):
    files = {"a": "GRID = 1.0\n", "b": "GRID: float = 2.0\n", "c": "from .a import GRID\n"}
    assert names_of(plant(**files)) == []
    assert names_of(plant(**files, room__in__d="from ..b import GRID as STEP\n")) == [
        "pack/b.py:1: GRID means something else in pack/a.py:1"
    ]


def test_a_shorthand_may_say_the_same_in_several_files(plant):
    same = "Points = list[float]\n"
    assert names_of(plant(a=same, b=same, c="from .a import Points\nfrom .b import Points as More\n")) == []


def overlays_in(folder: Path, *plain: str) -> list[str]:
    return [str(fault) for fault in overlays.find_faults(read_sources(folder, folder.parent), plain)]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("shapely.union_all(parts)", 1),
        ("one.buffer(1).intersection(other)", 1),
        ("overlay = shapely.difference", 1),
        ("shapely.union(one, other, grid_size=GRID)", 0),
        ("set().union(names)", 0),
        ("without(one, other)", 0),
    ],
)
def test_a_plain_overlay_is_found_unless_it_is_on_a_grid(plant, line, found):
    folder = plant(
        room=f"import shapely\n{line}\n", plane__in____init__="", plane__in__room=f"import shapely\n{line}\n"
    )
    assert len(overlays_in(folder)) == found


def test_a_file_listed_as_overlaying_plainly_must_do_so(plant):
    folder = plant(room="import shapely\nshapely.union(a, b)\n")
    assert overlays_in(folder, "pack/room.py") == []
    assert overlays_in(folder, "pack/room.py", "pack/none.py") == [
        "pack/none.py:1: pack/none.py is listed as plain, and is not"
    ]
