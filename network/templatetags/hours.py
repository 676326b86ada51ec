"""Times in templates, on the reader's clock and in the reader's language."""

from datetime import date, datetime

from django import template
from django.utils.timezone import localtime

from network.web.quantities import by_format, day_words, hour
from network.web.reader import reader

register = template.Library()


@register.simple_tag
def hours_of_clock() -> str:
    """'12' or '24', for a script that writes times."""
    return reader().clock


@register.filter
def clock(moment: datetime) -> str:
    """'14:20' or '2:20 pm', in the zone in force."""
    return hour(localtime(moment))


@register.filter
def day(when: date) -> str:
    """'Wednesday 25 November'."""
    return day_words(when, weekday=True)


@register.filter
def moment(when: datetime) -> str:
    """'Wednesday 25 November, 14:20', in the zone in force."""
    local = localtime(when)
    return f"{day_words(local, weekday=True)}, {hour(local)}"


@register.filter(expects_localtime=True)
def told(when: date | None, form: str) -> str:
    """By a format of the date filter, such as 'D j M H:i': the clock is the reader's, the day's figure the language's."""
    return by_format(when, form) if when else ""
