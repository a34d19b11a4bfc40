"""Commands that make stamps and press what was made."""
