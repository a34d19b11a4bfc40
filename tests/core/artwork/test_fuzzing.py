"""Whatever a file holds, it is read, or refused in one line, quickly, and nothing else is opened."""

import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from .fuzzing import Judge, drawings, pictures, spoil

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="memory is measured otherwise there")

JUDGE = Judge()


@settings(max_examples=150, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(drawings())
def test_any_drawing_is_read_or_refused_in_one_line(text):
    JUDGE.read_text(text)
    assert list(JUDGE.faults) == []


def test_spoiled_files_are_read_or_refused_in_one_line(artwork_folder, tmp_path):
    sources = [path for path in sorted(Path(artwork_folder).iterdir()) if path.suffix in (".svg", ".toml")]
    seeds = [(path.suffix[1:], path.read_bytes()) for path in sources if path.stat().st_size < 10_000]
    judge = Judge()
    spoil([*seeds, *pictures().items()], 150, 1, tmp_path, judge)
    assert list(judge.faults) == []
    assert judge.read + judge.refused == 150
