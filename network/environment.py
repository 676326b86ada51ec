"""Reading settings from the environment: a wrong value stops the start with a sentence."""

import os

from django.core.exceptions import ImproperlyConfigured


def switch(name: str, default: bool) -> bool:
    """The on/off setting ``name``."""
    value = os.environ.get(name)
    if value is None:
        return default
    if value not in ("on", "off"):
        raise ImproperlyConfigured(f"{name}={value!r}: use one of on, off.")
    return value == "on"


def whole_number(name: str, default: int, least: int = 1) -> int:
    """The whole-number setting ``name``, at least ``least``."""
    value = os.environ.get(name, str(default))
    if not value.isdecimal() or int(value) < least:
        raise ImproperlyConfigured(f"{name}={value!r}: use a whole number from {least}.")
    return int(value)


def names(name: str, default: str = "") -> list[str]:
    """The comma-separated setting ``name``."""
    return [part.strip() for part in os.environ.get(name, default).split(",") if part.strip()]
