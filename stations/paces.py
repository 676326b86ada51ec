"""How often stations report, in words."""

PACES = {
    60: "every minute",
    300: "every 5 minutes",
    600: "every 10 minutes",
    900: "every 15 minutes",
    1800: "every half hour",
    3600: "every hour",
}
"""Seconds from one report to the next: those a keeper chooses from."""


def pace(seconds: int) -> str:
    """Such as 'every 5 minutes'."""
    return PACES.get(seconds, f"every {seconds} s")
