"""Ink: how the pad lays it on, what the paper takes, and how the print compares with the artwork."""
