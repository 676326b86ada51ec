"""A map to take away: isolines for a map program, grids for science and for a GIS, a picture for a notice."""
