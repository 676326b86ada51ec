"""How good the estimates between stations are, on open data and in the made village, beside other methods."""
