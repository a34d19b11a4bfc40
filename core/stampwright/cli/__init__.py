"""The command line: a thin skin on the workshop, one file a command."""

from .main import main

__all__ = ["main"]
