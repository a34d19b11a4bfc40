"""The parts of a stamp: die, backing, cushion and handle, and how they join."""
