"""Formulas against the books they come from, and against reference libraries as a second opinion."""
