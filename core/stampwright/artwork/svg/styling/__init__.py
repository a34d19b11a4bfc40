"""How elements look: declared values, the cascade, inheritance, and the reading of single values."""
