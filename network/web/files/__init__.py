"""A station's readings to take away, with their verdicts, and the sheet that says where they came from."""
