"""Clocks: the changes of summer time of one zone and year (constructed; checked there with Python's zoneinfo)."""

ZONE = "Europe/Zurich"
SHORT_DAY = ("2026-03-29", 23)  # hours
LONG_DAY = ("2026-10-25", 25)

# Local time that occurs twice, and when in UTC.
REPEATED = ("2026-10-25T02:30", "2026-10-25T00:30", "2026-10-25T01:30")

# Hourly temperatures of one day [°C], their mean, and the mean of the highest and the lowest (constructed).
HOURLY_TEMPERATURES = (
    *(8.1, 7.6, 7.2, 6.9, 6.8, 7.5, 9.4, 11.8, 13.9, 15.6, 16.9, 17.8),
    *(18.4, 18.7, 18.6, 18.0, 16.9, 15.3, 13.6, 12.2, 11.1, 10.2, 9.4, 8.7),
)
DAILY_MEAN = 12.525
MEAN_OF_EXTREMES = 12.75
