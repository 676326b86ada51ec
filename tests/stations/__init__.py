"""Households, their stations, and who may do what."""
