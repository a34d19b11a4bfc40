"""Prints on real paper: the test die that measures itself, prints found in scans and photographs, and compared."""
