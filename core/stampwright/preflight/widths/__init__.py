"""Widths: how narrow ink and paper are, where, and which narrow places belong together."""
