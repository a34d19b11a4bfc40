"""An operator as a window's events reach it: without a window, the host lets none of its own run on."""

import importlib
from types import SimpleNamespace

import bpy


def room(extension, name):
    """Return a module of the extension."""
    return importlib.import_module(f"{extension.__name__}.{name}")


class InWindow:
    """Takes the place of the host's operator: ``told`` is what it would tell, ``given`` what it has come to know."""

    def __init__(self, operator, **given):
        self._operator, self.told = operator, []
        vars(self).update(given)

    def __getattr__(self, name):
        found = getattr(self._operator, name)
        return found.__get__(self) if callable(found) else found

    def report(self, _kind, line):
        """Keep what it tells."""
        self.told.append(line)

    def tell_how_far(self, *_):
        """Show nothing."""

    def _end(self, _context, done):
        return done

    def after(self, kind):
        """Return what it answers to an event."""
        return self.modal(bpy.context, SimpleNamespace(type=kind, value="PRESS"))
