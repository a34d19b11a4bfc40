"""Commands that read prints on paper: the test die, its figures, and a print beside its stamp."""
