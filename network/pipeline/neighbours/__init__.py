"""The village as its own witness: expected values, departures, and what only weeks of them show."""
