"""Severe weather, added to the truth."""
