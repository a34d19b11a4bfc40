"""The inks of a job: kept by its files, and refused in one line where they contradict each other."""

import pytest
from stampwright.errors import JobError
from stampwright.job import Job
from stampwright.job.inks import MOST_INKS, Ink, as_inks, folder_of
from stampwright.job.written.files import job_as_json, job_as_toml, job_from_json, job_from_toml

SEED, LEAF = (
    Ink(name="seed", colour="#f0c020", colours=("#f0c020", "#e8b810"), order=1),
    Ink(name="leaf", colour="#206030", layers=("Leaves",), laid="overprint"),
)


@pytest.mark.parametrize(("write", "read"), [(job_as_json, job_from_json), (job_as_toml, job_from_toml)])
def test_inks_come_back_from_job_files(write, read):
    job = Job(inks=(SEED, LEAF)).with_value("register.trap", 0.3)
    assert read(write(job)) == job


def test_tables_are_written_by_hand_as_they_are_documented():
    job = job_from_toml('[[inks]]\nname = "red"\ncolour = "#a0282a"\n\n[[inks]]\nname = "blue"\ncolour = "#26407c"\n')
    assert [ink.name for ink in job.inks] == ["red", "blue"]


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ([{"name": "red", "colour": "red"}], "colour as #rrggbb"),
        ([{"name": "red", "hue": "#a0282a"}], "no setting 'hue'"),
        ([{"name": "red", "colours": ["carmine"]}], "carmine"),
        ([{"name": "///"}], "names no folder"),
        ([{"name": "a b", "colour": "#111111"}, {"name": "A-B", "colour": "#222222"}], "one folder"),
        ([{"name": "a", "colour": "#A0282a"}, {"name": "b", "colour": "#a0282A"}], "both #"),
        ([{"name": f"i{n}", "colour": f"#{n:06x}"} for n in range(MOST_INKS + 1)], f"{MOST_INKS} at most"),
        ([{"name": "a", "laid": "over"}], "one of knock-out, overprint"),
        ("red", "a list of tables"),
        ([7], "inks[1] is a table"),
    ],
)
def test_what_is_no_set_of_inks_is_told_in_one_line(given, told):
    with pytest.raises(JobError) as refused:
        as_inks(given)
    assert told in str(refused.value)
    assert "\n" not in str(refused.value)


def test_folders_have_names_that_any_system_takes():
    assert folder_of("con") == "con-ink"
    assert folder_of("Blé / été") == "Blé-été"
    assert folder_of("../up") == "up"


@pytest.mark.parametrize("name", ["con", "NUL", "com1", "COM¹", "lpt³", "aux"])
def test_no_folder_has_a_name_that_some_systems_keep_for_devices(name):
    # Microsoft, "Naming files, paths, and namespaces", which lists the raised digits 1 to 3 as well (from memory).
    assert folder_of(name) == f"{name}-ink"
