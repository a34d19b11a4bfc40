"""The program as a test runs it."""

from stampwright.cli import main


def run(capsys, *arguments):
    """Run one command and return its exit code, what it printed, and what it complained of."""
    try:
        code = main([str(argument) for argument in arguments])
    except SystemExit as stop:
        code = stop.code
    captured = capsys.readouterr()
    return code, captured.out, captured.err
