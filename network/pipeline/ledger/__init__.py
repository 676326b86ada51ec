"""What must be computed again, and the blocks it comes in."""
