"""Who stood where, how it spoke, and from when to when: a station's metadata over a span."""
