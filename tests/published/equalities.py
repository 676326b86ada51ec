"""Units: the same quantity in two units.

Exact by definition (international yard and pound 1959, nautical mile 1929, SI Brochure 9th edition; from memory)
unless a line says otherwise.
"""

# value, unit, value, SI or CF unit
EQUALITIES = [
    (32.0, "[degF]", 273.15, "K"),
    (212.0, "[degF]", 373.15, "K"),
    (-40.0, "[degF]", -40.0, "Cel"),
    (0.0, "Cel", 273.15, "K"),
    (50.0, "%", 0.5, "1"),
    (50.0, "%RH", 0.5, "1"),
    (1013.25, "hPa", 101325.0, "Pa"),
    (1.0, "mbar", 100.0, "Pa"),
    (1.0, "atm", 101325.0, "Pa"),
    (1.0, "[kn_i]", 1852 / 3600, "m/s"),
    (1.0, "[mi_i]/h", 0.44704, "m/s"),
    (1.0, "km/h", 1 / 3.6, "m/s"),
    (1.0, "[ft_i]/s", 0.3048, "m/s"),
    (1.0, "[in_i]", 25.4, "mm"),
    (1.0, "kg/m2", 1.0, "mm"),
    (1.0, "l/m2", 1.0, "mm"),
    (1.0, "mW/cm2", 10.0, "W/m2"),
    (1500.0, "mV", 1.5, "V"),
    (90.0, "1/min", 1.5, "1/s"),
]

# The standard atmosphere in columns of mercury (computed with 33.8639 hPa to the inch), so to five figures.
MERCURY = [(29.9213, "[in_i'Hg]"), (760.00, "mm[Hg]")]

# Spellings people type, and the symbol they mean (common practice).
SPELLINGS = {
    "Cel": ("C", "°C", "℃", "degC", "celsius", "c"),
    "[degF]": ("F", "°F", "℉", "degF", "Fahrenheit", "f"),
    "K": ("kelvin", "k"),
    "%": ("%RH", "percent", "pct"),
    "1": ("/", "fraction"),
    "hPa": ("hpa", "HPA"),
    "mbar": ("mb", "millibar"),
    "[in_i'Hg]": ("inHg", "inhg", "in Hg"),
    "mm[Hg]": ("mmHg", "mm Hg", "torr"),
    "[kn_i]": ("kt", "kn", "kts", "knots", "KT"),
    "[mi_i]/h": ("mph", "MPH", "mi/h"),
    "km/h": ("kph", "kmh", "km h-1"),
    "m/s": ("ms-1", "m s-1", "m s⁻¹"),
    "[in_i]": ("in", "inch", "inches"),
    "mm": ("MM", "millimetres"),
    "W/m2": ("W/m²", "W/m^2", "W m-2", "w/m2"),
    "deg": ("°", "degrees"),
    "1/s": ("Hz", "hz"),
    "V": ("v", "volts"),
}
