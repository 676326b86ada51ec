"""The catalogue of variables: one entry each, and the only place that lists them.

Everything that treats a variable in its own way (its column in the database, its words on a page, the
limits the checks hold it against, the shape of its field over the village) is read from its entry here.
To add a variable, add an entry and run ``manage.py makemigrations``.
"""

from dataclasses import dataclass
from typing import Literal

Summary = Literal["mean", "sum", "maximum", "direction"]


@dataclass(frozen=True)
class Limits:
    """What is physically possible at the surface of the Earth, in the variable's own unit."""

    low: float
    high: float
    source: str


@dataclass(frozen=True)
class Step:
    """The largest change to believe between two values a minute and an hour apart."""

    minute: float
    hour: float
    source: str


@dataclass(frozen=True)
class Stillness:
    """A value that stays within ``least_change`` for longer than ``seconds`` is stuck.

    Values outside ``low`` .. ``high`` may rest (saturated air, a calm), so they are not asked.
    """

    least_change: float
    seconds: float
    source: str
    low: float = float("-inf")
    high: float = float("inf")


@dataclass(frozen=True)
class FieldPrior:
    """What is known of a variable's field over a village before anything is measured.

    ``spread`` is the standard deviation of the field about its trend, ``reach`` the distance over which
    places stay alike [m], ``gradient`` the expected change per metre of elevation with its own standard
    deviation ``gradient_spread``. Of an amount it is what falls in an hour. All from common practice; each map
    says how well they served.
    """

    spread: float
    reach: float
    gradient: float = 0.0
    gradient_spread: float = 0.0


@dataclass(frozen=True)
class Variable:
    """One variable: its name in the trade, its units, its limits and its field."""

    name: str
    words: str  # as a sentence says it
    short: str  # as a column head says it
    unit: str  # inside, everywhere
    shown_unit: str  # to a reader who has not chosen otherwise
    decimals: int  # in the shown unit
    standard_name: str  # CF conventions
    summary: Summary  # what stands for an hour or a day of it
    accuracy: float  # standard error of a common home instrument [unit]
    limits: Limits
    step: Step | None = None
    stillness: Stillness | None = None
    field: FieldPrior | None = None
    derived: bool = False


ZAHUMENSKY = (
    "Zahumenský (2004), Guidelines on Quality Control Procedures for Data from Automatic Weather Stations"
)
WMO_305 = "WMO-No. 305 (1993), Guide on the Global Data-processing System, chapter 6"
PRACTICE = "common practice"

_CATALOGUE = (
    Variable(
        name="air_temperature",
        words="air temperature",
        short="temperature",
        unit="K",
        shown_unit="Cel",
        decimals=1,
        standard_name="air_temperature",
        summary="mean",
        accuracy=0.4,
        limits=Limits(193.15, 333.15, ZAHUMENSKY),
        step=Step(3.0, 4.0, f"{ZAHUMENSKY}; {WMO_305}"),
        stillness=Stillness(0.1, 7200.0, ZAHUMENSKY),
        field=FieldPrior(spread=0.8, reach=1500.0, gradient=-0.0065, gradient_spread=0.006),
    ),
    Variable(
        name="relative_humidity",
        words="relative humidity",
        short="humidity",
        unit="1",
        shown_unit="%",
        decimals=0,
        standard_name="relative_humidity",
        summary="mean",
        accuracy=0.035,
        limits=Limits(0.0, 1.05, ZAHUMENSKY),
        step=Step(0.10, 0.30, f"{ZAHUMENSKY} (minute); common practice (hour)"),
        stillness=Stillness(0.01, 21600.0, f"{ZAHUMENSKY}; six hours from common practice", high=0.95),
    ),
    Variable(
        name="station_pressure",
        words="station pressure",
        short="station pressure",
        unit="Pa",
        shown_unit="hPa",
        decimals=1,
        standard_name="surface_air_pressure",
        summary="mean",
        accuracy=60.0,
        limits=Limits(50000.0, 110000.0, ZAHUMENSKY),
        step=Step(50.0, 300.0, f"{ZAHUMENSKY}; {WMO_305}"),
        stillness=Stillness(10.0, 21600.0, ZAHUMENSKY),
    ),
    Variable(
        name="wind_speed",
        words="wind speed",
        short="wind",
        unit="m/s",
        shown_unit="m/s",
        decimals=1,
        standard_name="wind_speed",
        summary="mean",
        accuracy=0.6,
        limits=Limits(0.0, 75.0, ZAHUMENSKY),
        step=Step(10.0, 20.0, ZAHUMENSKY),
        stillness=Stillness(0.1, 21600.0, f"{ZAHUMENSKY}; six hours from common practice", low=0.5),
        field=FieldPrior(spread=1.2, reach=1200.0, gradient=0.010, gradient_spread=0.010),
    ),
    Variable(
        name="wind_gust",
        words="gust",
        short="gust",
        unit="m/s",
        shown_unit="m/s",
        decimals=1,
        standard_name="wind_speed_of_gust",
        summary="maximum",
        accuracy=1.0,
        limits=Limits(0.0, 150.0, "from memory"),
        step=Step(20.0, 30.0, PRACTICE),
    ),
    Variable(
        name="wind_from_direction",
        words="wind direction",
        short="from",
        unit="deg",
        shown_unit="deg",
        decimals=0,
        standard_name="wind_from_direction",
        summary="direction",
        accuracy=10.0,
        limits=Limits(0.0, 360.0, ZAHUMENSKY),
    ),
    Variable(
        name="rain_amount",
        words="rain",
        short="rain",
        unit="mm",
        shown_unit="mm",
        decimals=1,
        standard_name="lwe_thickness_of_precipitation_amount",
        summary="sum",
        accuracy=0.2,
        limits=Limits(0.0, 200.0, f"{ZAHUMENSKY}: 40 mm in one minute, so 200 mm in a five-minute report"),
        field=FieldPrior(spread=1.5, reach=2500.0),
    ),
    Variable(
        name="irradiance",
        words="sunlight",
        short="sunlight",
        unit="W/m2",
        shown_unit="W/m2",
        decimals=0,
        standard_name="surface_downwelling_shortwave_flux_in_air",
        summary="mean",
        accuracy=30.0,
        limits=Limits(0.0, 1600.0, ZAHUMENSKY),
        step=Step(800.0, 1200.0, f"{ZAHUMENSKY} (minute); common practice (hour)"),
    ),
    Variable(
        name="light_level",
        words="relative light level",
        short="light",
        unit="1",
        shown_unit="%",
        decimals=0,
        standard_name="",  # CF has none: it is a relative level and never stands for irradiance
        summary="mean",
        accuracy=0.05,
        limits=Limits(0.0, 1.0, "by definition"),
    ),
    Variable(
        name="surface_wetness",
        words="surface wetness",
        short="wetness",
        unit="1",
        shown_unit="%",
        decimals=0,
        standard_name="",  # a wet/dry board says how much of it is wet, no more
        summary="mean",
        accuracy=0.1,
        limits=Limits(0.0, 1.0, "by definition"),
    ),
    Variable(
        name="battery_voltage",
        words="battery",
        short="battery",
        unit="V",
        shown_unit="V",
        decimals=2,
        standard_name="",  # CF has none (table 93)
        summary="mean",
        accuracy=0.1,
        limits=Limits(0.0, 60.0, PRACTICE),
    ),
    Variable(
        name="dew_point",
        words="dew point",
        short="dew point",
        unit="K",
        shown_unit="Cel",
        decimals=1,
        standard_name="dew_point_temperature",
        summary="mean",
        accuracy=0.8,
        limits=Limits(193.15, 308.15, ZAHUMENSKY),
        field=FieldPrior(spread=0.7, reach=2000.0, gradient=-0.002, gradient_spread=0.004),
        derived=True,
    ),
    Variable(
        name="sea_level_pressure",
        words="pressure reduced to sea level",
        short="pressure",
        unit="Pa",
        shown_unit="hPa",
        decimals=1,
        standard_name="air_pressure_at_mean_sea_level",
        summary="mean",
        accuracy=70.0,
        limits=Limits(85000.0, 110000.0, WMO_305),
        field=FieldPrior(spread=15.0, reach=20000.0),
        derived=True,
    ),
)

VARIABLES: dict[str, Variable] = {variable.name: variable for variable in _CATALOGUE}
"""Every variable by name, in the order pages and files list them."""

MEASURED = tuple(name for name, variable in VARIABLES.items() if not variable.derived)
DERIVED = tuple(name for name, variable in VARIABLES.items() if variable.derived)
MAPPED = tuple(name for name, variable in VARIABLES.items() if variable.field is not None)
