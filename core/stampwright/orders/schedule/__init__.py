"""Printers and which beds they print, so that the last is done soonest."""
