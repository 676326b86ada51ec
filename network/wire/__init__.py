"""What devices say, read into plain values: nothing here knows a station, a channel or what a unit means."""
