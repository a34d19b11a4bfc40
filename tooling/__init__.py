"""What build.py sets up and runs: environments, icon sets, suites of tests. Nothing here needs more than Python."""

PYTHONS = "Python 3.11, 3.12, 3.13 or 3.14"
"""What build.py runs with; this file, like build.py, can be read by older ones, so that they can say so."""
