"""The village's maps: the readings a map stands on."""
