"""The spatial engine against published numbers, other programs, and an invented truth."""
