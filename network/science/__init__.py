"""Formulas from the books: arrays in, arrays out, in SI units. Nothing here knows a framework."""
