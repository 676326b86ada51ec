"""Small power systems: dividers."""

# upper and lower resistor [Ohm], battery [V], volts at the pin (computed: Vin R2 / (R1 + R2)).
DIVIDERS = [(100e3, 27e3, 14.4, 3.06142), (10e3, 2.2e3, 12.6, 2.27213)]

# A 10-bit converter with a 3.3 V reference behind the first of them: count at 14.4 V, volts per count (computed).
COUNT_AT_14_4 = 949
VOLTS_PER_COUNT = 0.01517
