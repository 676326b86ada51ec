"""Physical constants, named for what they are, with their sources."""

ZERO_CELSIUS = 273.15
"""[K] Zero on the Celsius scale (BIPM, The International System of Units, 9th edition)."""

STANDARD_GRAVITY = 9.80665
"""[m s-2] Conventional value (3rd General Conference on Weights and Measures, 1901)."""

DRY_AIR_GAS_CONSTANT = 287.05287
"""[J kg-1 K-1] Specific gas constant of dry air (ISO 2533:1975, from memory)."""

STANDARD_LAPSE_RATE = 0.0065
"""[K m-1] Fall of temperature with height in the standard atmosphere below 11 km (ISO 2533:1975)."""
