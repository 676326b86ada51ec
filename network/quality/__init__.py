"""Is it believable? Checks that give evidence, and one decision from all of it."""
