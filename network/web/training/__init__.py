"""A village's hours as a table to learn from, with what fell in the hours after as the target."""
