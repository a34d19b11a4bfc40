"""The command line: a thin skin on the workshop."""

from .main import main

__all__ = ["main"]
