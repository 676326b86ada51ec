"""Physical constants, named for what they are, with their sources."""

ZERO_CELSIUS = 273.15
"""[K] Zero on the Celsius scale (BIPM, The International System of Units, 9th edition)."""

STANDARD_GRAVITY = 9.80665
"""[m s-2] Conventional value (3rd General Conference on Weights and Measures, 1901)."""

DRY_AIR_GAS_CONSTANT = 287.05287
"""[J kg-1 K-1] Specific gas constant of dry air (ISO 2533:1975, from memory)."""

STANDARD_LAPSE_RATE = 0.0065
"""[K m-1] Fall of temperature with height in the standard atmosphere below 11 km (ISO 2533:1975)."""

STANDARD_PRESSURE = 101325.0
"""[Pa] Pressure of the standard atmosphere at sea level (ISO 2533:1975)."""

STANDARD_TEMPERATURE = 288.15
"""[K] Temperature of the standard atmosphere at sea level (ISO 2533:1975)."""

SOLAR_CONSTANT = 1361.0
"""[W m-2] Irradiance of the sun at its mean distance (Kopp and Lean 2011, from memory)."""
