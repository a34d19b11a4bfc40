"""Sets: a picture in several inks, a stamp for each, made together and proven together."""

from .making import InkSet, coloured_of, examine_set, make_set, proposed_job
from .writing import WrittenSet, make_set_files

__all__ = ["InkSet", "WrittenSet", "coloured_of", "examine_set", "make_set", "make_set_files", "proposed_job"]
