"""The record: days, months and years of a station and of the village, to read and to print."""
