"""Evidence becomes cases: whose fault it is, what is best done about it, and what that would change."""
