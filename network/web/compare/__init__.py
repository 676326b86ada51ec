"""Stations side by side: what is asked, in words, in pictures, in tables and as a file."""
