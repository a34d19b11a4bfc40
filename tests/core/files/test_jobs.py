"""A job that is written reads back the same, from any folder."""

import pytest
from stampwright import AlreadyThereError, Job, Lettering, Mark, read_job, write_job


@pytest.mark.parametrize("name", ["job.toml", "job.json", "JOB.JSON"])
def test_a_written_job_reads_back(tmp_path, name):
    (tmp_path / "art").mkdir()
    art = tmp_path / "art" / "mark.svg"
    job = Job(pieces=(Lettering(text="SEEDS"), Mark(file=str(art)))).with_value("base.width", "2 in")
    write_job(tmp_path / name, job)
    assert "art/mark.svg" in (tmp_path / name).read_text(encoding="utf-8")
    assert str(tmp_path) not in (tmp_path / name).read_text(encoding="utf-8")
    assert read_job(tmp_path / name) == job
    with pytest.raises(AlreadyThereError):
        write_job(tmp_path / name, job)
    write_job(tmp_path / name, Job(), overwrite=True)
    assert read_job(tmp_path / name) == Job()
