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

RAINS = {
    "light": gettext_noop("light rain"),
    "moderate": gettext_noop("moderate rain"),
    "heavy": gettext_noop("heavy rain"),
    "violent": gettext_noop("violent rain"),
}
"""By the class of intensity."""

DERIVED = (
    gettext_noop("wet bulb"), gettext_noop("vapour pressure"), gettext_noop("its change in three hours"),
    gettext_noop("wind, mean of ten minutes"), gettext_noop("from, mean of ten minutes"),
    gettext_noop("highest gust of ten minutes"), gettext_noop("rain today"), gettext_noop("rain intensity"),
    gettext_noop("wind chill"), gettext_noop("heat index"),
)  # fmt: skip
"""What follows from readings."""

WEATHER_SERVICE = gettext_noop("your national weather service")
"""Where a village names none of its own."""

PROGRAMS = (
    gettext_noop("C++ for boards with WiFi.h, HTTPClient.h and LittleFS.h"), gettext_noop("Shell, for a Linux board with curl"),
)  # fmt: skip
"""Kinds of programs for boards; MicroPython is called so everywhere."""

METHODS = (gettext_noop("kriging"), gettext_noop("inverse distance"), gettext_noop("village mean"))

LEFT_OUT = (
    gettext_noop("too few good readings"), gettext_noop("set aside by the steward"), gettext_noop("not yet approved"),
    gettext_noop("no good wind direction"), gettext_noop("stands too low"),
)  # fmt: skip
"""Why a station that reports is not in a map."""

PHRASES = (
    # a map
    gettext_noop("No trusted stations report {what}; a map needs three."),
    gettext_noop("One trusted station reports {what}; a map needs three."),
    gettext_noop("Two trusted stations report {what}; a map needs three."),
    # why a clock, a place, a unit is doubted
    gettext_noop("about {count} minutes behind, and more each day"),
    gettext_noop("about {count} minutes ahead, and more each day"),
    gettext_noop("about {count} minutes behind"),
    gettext_noop("about {count} minutes ahead"),
    gettext_noop("about {count} hours behind"),
    gettext_noop("about {count} hours ahead"),
    gettext_noop("low in the {side}"),
    gettext_noop("halfway up in the {side}"),
    gettext_noop("high in the {side}"),
    gettext_noop("winds from the {first} round to the {last}"),
    gettext_noop("winds from the {side}"),
    gettext_noop("{unit} (we read it as {other})"),
    # what would better a siting
    gettext_noop("the tree or hedge in the {side}"),
    gettext_noop("the wall or house in the {side}"),
    gettext_noop("Cut {what} down to {height} m, or stand the gauge at least {least} m from it."),
    gettext_noop("Stand the gauge at least {least} m from {what}."),
    gettext_noop("Stand the mast at least {least} m from {what}, or keep that below {height} m."),
    gettext_noop("Stand the mast at least {least} m from {what}."),
    gettext_noop("Find a place where everything is at least {ratio} times as far away as it is high."),
    gettext_noop("Stand it at least {least} m from walls, roofs, paving and water."),
    gettext_noop("Stand it where nothing shades it once the sun is higher than {most}°."),
    gettext_noop("Cut {what}, which reaches highest."),
    gettext_noop("Stand it clear of {what}, which reaches highest."),
    gettext_noop("Stand it where nothing reaches higher than {most}° above the horizon."),
    # a battery
    gettext_noop("{volts} V lead-acid battery"),
    gettext_noop("The battery, a {kind} by its voltage, rested at {volts} V before the last dawn: about {share} full, give or take {doubt}."),
    gettext_noop("The {kind} rested at {volts} V before the last dawn: about {share} full, give or take {doubt}."),
    gettext_noop("At this rate the battery lasts {nights}, likely no more than {latest}."),
    gettext_noop("At this rate the battery lasts {nights}, likely {soonest} to {latest}."),
    gettext_noop("At this rate the battery lasts {nights}, {soonest} at the least."),
    gettext_noop("With no sun at all the battery would last {nights} (at the least {least}). As the days are, they make up for the nights."),
    gettext_noop("A night takes {share} of it, and a day gave back {gain} of late."),
    gettext_noop("A night takes {share} of it."),
    gettext_noop("about {count} more nights"),
    gettext_noop("A report every {longer} minutes instead of {now} would gain about {hours} hours in the dark, {by}: an estimate."),
    gettext_noop("if {share} of what a night takes goes with the reports, which is assumed and not measured"),
    gettext_noop("if {share} of what a night takes goes with the reports, as you say"),
    gettext_noop("A clear day would give back about {gain}, so the sun may mend it; a clean panel helps."),
    gettext_noop("Even a clear day would give back no more than about {gain}: look for dust, snow, leaves or new shade on the panel, and at the age of the battery."),
)  # fmt: skip
"""Sentences that the lower rooms compose, the narrower before the wider; the rest of what they say is in the
catalogue of network/science/locale."""
