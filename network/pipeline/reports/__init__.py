"""From reports, as received, to observations in standard units and true time."""
