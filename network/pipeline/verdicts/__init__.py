"""Every reading its verdict, from all the evidence at once, with the reasons kept."""
