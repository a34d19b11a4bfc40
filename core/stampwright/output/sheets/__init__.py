"""Sheets for people: what the customer signs, and what an examination found."""
