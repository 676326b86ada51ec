"""Every helper of the bench, and which suit a channel."""

from network.web.bench import forms, heard, typed
from network.web.bench.helper import Helper
from stations.calibrating import RAW, kinds_for
from stations.cautions import BATTERIES, HEIGHTS
from stations.models import Channel

_DRIVING = (
    "Two people: one drives and does nothing else, the other counts. On a private or empty road, within the law, in "
    "still air; the instrument fixed so that it cannot fly off."
)
_WATER = (
    "Warm water no hotter than a bath, and no plug or board in it: only the probe, if it is made for water."
)


def _curve(channel: Channel) -> bool:
    names = [kind.name for kind in kinds_for(channel)]
    return "gain_offset" in names and channel.instrument.variable not in (
        "battery_voltage",
        "wind_from_direction",
    )


def _takes(*kinds: str):
    return lambda channel: any(kind.name in kinds for kind in kinds_for(channel))


def _of(*variables: str):
    return lambda channel: channel.instrument.variable in variables and channel.unit not in RAW


HELPERS = (
    Helper(
        "points",
        "Compare it with something better",
        "Stir crushed ice with a little water: once it melts it is at 0.0 °C to a tenth. For a second point hold it, with a "
        "good thermometer, in warm water. Wait five minutes each time, then write down what it says below under ‘says’.",
        forms.PointsForm,
        typed.points,
        _curve,
        (_WATER,),
    ),
    Helper(
        "meter",
        "Hold a multimeter to the battery",
        "One reading tells the ratio of the two resistors. Wait for a report, read the meter at the battery’s terminals, "
        "and write both down.",
        forms.MeterForm,
        typed.meter,
        _takes("divider"),
        (BATTERIES,),
    ),
    Helper(
        "drive",
        "Drive past still air",
        "On a calm morning, with the rotor held an arm’s length above the roof of a car, drive each speed there and back. "
        "What wind there is then falls out.",
        forms.DriveForm,
        typed.drive,
        _takes("rotor"),
        (_DRIVING,),
    ),
    Helper(
        "reference",
        "Put a better instrument beside it",
        "At the same height, an arm’s length to the side, for some windy hours: write down speed and pulses of the same "
        "ten minutes.",
        forms.RotorForm,
        typed.reference,
        _takes("rotor"),
        (HEIGHTS,),
    ),
    Helper(
        "wind",
        "Ask the neighbours on windy days",
        "The same wind blows over the village. Each neighbour’s speed, brought to the height of this rotor, gives a "
        "factor; the middle one is taken, and how far they disagree is its uncertainty.",
        forms.NeighboursWindForm,
        heard.wind,
        _takes("rotor"),
    ),
    Helper(
        "litre",
        "Pour a litre slowly",
        "Let a measured litre drip into the funnel for half an hour or more, as in steady rain, and count the tips. "
        "Poured quickly, water runs past the bucket while it swings.",
        forms.LitreForm,
        typed.litre,
        _takes("tips"),
    ),
    Helper(
        "pressure",
        "Ask the neighbours’ barometers",
        "Brought down to sea level, all barometers of a village read alike to a few tenths of a hectopascal.",
        forms.NoForm,
        heard.pressure,
        _of("station_pressure"),
    ),
    Helper(
        "noon",
        "Look at its nights and clear noons",
        "At noon under a clear sky the light is known from where the sun stands; at night there is none.",
        forms.NoForm,
        heard.noon,
        lambda channel: _takes("light", "light_lux")(channel) or _of("irradiance")(channel),
    ),
    Helper(
        "board",
        "Wipe it dry, then wet it",
        "Wait for a report each time, and write down what it said.",
        forms.BoardForm,
        typed.board,
        _takes("wet_board"),
    ),
)


def suiting(channel: Channel) -> tuple[Helper, ...]:
    """The helpers that can find figures for a channel."""
    return tuple(helper for helper in HELPERS if helper.suits(channel))
