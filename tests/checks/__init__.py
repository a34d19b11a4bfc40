"""Checks of the sources themselves that ``build.py check`` runs: imports, docstrings and sizes."""
