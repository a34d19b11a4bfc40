"""Where the sources lie, and what the host calls the extension."""

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MODULE = "bl_ext.user_default.stampwright"
