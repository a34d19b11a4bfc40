"""The few errors that Stampwright raises; each message says what was wrong, where, and what to do."""

from __future__ import annotations


def reason_of(error: OSError | ValueError) -> str:
    """Return why a file could not be read or written, in the system's words if it has any, without the path."""
    return (isinstance(error, OSError) and error.strerror) or str(error)


class StampwrightError(Exception):
    """Any failure that Stampwright explains to its user; the message is one clear line."""


class ArtworkError(StampwrightError):
    """Artwork could not be read or holds nothing to print."""


class JobError(StampwrightError):
    """A figure of the job is unknown, of the wrong type, or out of range."""


class WordsError(JobError):
    """Words do not fit the places of a template; ``places`` names those that they were meant for."""

    def __init__(self, message: str, places: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.places = places


class OrderError(StampwrightError):
    """A table of orders cannot be read or has bad rows, or its folder cannot be worked in."""


class SolidError(StampwrightError):
    """A solid could not be built soundly from what it was given."""


class MeshFileError(StampwrightError):
    """A mesh file (STL, 3MF) could not be read or holds no stamp face."""


class ToolpathError(StampwrightError):
    """A toolpath (G-code) could not be read or lays no stamp face."""


class PressError(StampwrightError):
    """A press cannot be reckoned: a force, hardness or face outside what the mechanics hold for."""


class ProofError(StampwrightError):
    """The stamp as written does not print the artwork that it was made from."""


class PrintError(StampwrightError):
    """A print on paper could not be found in its scan or photograph, or not be measured there."""


class OutputError(StampwrightError):
    """Results could not be written; nothing was left half-written."""


class AlreadyThereError(OutputError):
    """Results would be written over files that are there already; nothing was touched."""


class Cancelled(StampwrightError):
    """The work was stopped by whoever asked for it."""
