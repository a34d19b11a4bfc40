"""Mending: the rounds that repair is made of, and the tubes about middle lines that they draw with."""
