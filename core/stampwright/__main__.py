"""Runs the command line as ``python -m stampwright``."""

import sys

from .cli import main

sys.exit(main())
