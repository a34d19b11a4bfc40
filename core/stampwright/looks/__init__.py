"""How everything looks that Stampwright draws: its colours, its signs for what was found, its typefaces."""
