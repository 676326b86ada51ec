"""What is kept and said of the readings: summaries, and the moment."""
