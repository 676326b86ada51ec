"""Tests of what the stations make together."""
