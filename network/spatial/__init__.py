"""From points to a map: arrays in, estimates with their standard errors out."""
