"""What the stations of a village make together: readings, verdicts, comparisons and maps."""
