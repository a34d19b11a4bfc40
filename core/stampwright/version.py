"""The version of this program, in one place: packages, reports and tickets take it from here."""

__version__ = "0.1.0"
