"""What a steward decides, and how it is undone."""
