"""Words that the lower rooms say in English and pages translate: listed here, so that translators meet them."""

from django.utils.translation import gettext_noop

QUANTITIES = (
    gettext_noop("air temperature"), gettext_noop("temperature"), gettext_noop("relative humidity"), gettext_noop("humidity"),
    gettext_noop("station pressure"), gettext_noop("wind speed"), gettext_noop("wind"), gettext_noop("gust"),
    gettext_noop("wind direction"), gettext_noop("from"), gettext_noop("rain"), gettext_noop("sunlight"),
    gettext_noop("relative light level"), gettext_noop("light"), gettext_noop("surface wetness"), gettext_noop("wetness"),
    gettext_noop("battery"), gettext_noop("dew point"), gettext_noop("pressure reduced to sea level"), gettext_noop("pressure"),
)  # fmt: skip
"""Words and short words of the catalogue."""

WINDS = (
    gettext_noop("calm"), gettext_noop("light air"), gettext_noop("light breeze"), gettext_noop("gentle breeze"),
    gettext_noop("moderate breeze"), gettext_noop("fresh breeze"), gettext_noop("strong breeze"), gettext_noop("near gale"),
    gettext_noop("gale"), gettext_noop("strong gale"), gettext_noop("storm"), gettext_noop("violent storm"),
    gettext_noop("hurricane"),
)  # fmt: skip
"""The Beaufort scale."""

VERDICTS = (
    gettext_noop("good"), gettext_noop("doubtful"), gettext_noop("wrong"), gettext_noop("unchecked"),
    gettext_noop("not yet checked"), gettext_noop("missing"), gettext_noop("no report"),
)  # fmt: skip

SPANS = (gettext_noop("day"), gettext_noop("week"), gettext_noop("month"), gettext_noop("year"))
"""What a chart may show."""
