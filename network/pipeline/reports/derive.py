"""What follows from the readings of one observation: dew point, pressure reduced to sea level, calm."""

import numpy as np

from network.models.storage import Floats
from network.science.moisture import dew_point, vapour_pressure
from network.science.pressure import sea_level_pressure

Columns = dict[str, Floats]


def derive(columns: Columns, barometer_elevation: Floats) -> Columns:
    """The derived columns that the given ones allow.

    ``columns`` and ``barometer_elevation`` [m above mean sea level] have shape (n,). Without a hygrometer
    the air is taken as dry, which changes the reduced pressure by less than 0.1 hPa below 100 m.
    """
    derived = {}
    temperature, humidity = columns.get("air_temperature"), columns.get("relative_humidity")
    if temperature is not None and humidity is not None:
        derived["dew_point"] = dew_point(temperature, humidity)
    if temperature is not None and "station_pressure" in columns:
        moisture = 0.0 if humidity is None else np.nan_to_num(vapour_pressure(temperature, humidity))
        derived["sea_level_pressure"] = sea_level_pressure(
            columns["station_pressure"], barometer_elevation, temperature, moisture
        )
    if "wind_speed" in columns and "wind_from_direction" in columns:
        # A calm has no direction (WMO-No. 306, B/C1.10.5.3.2), though the vane still points somewhere.
        calm = columns["wind_speed"] == 0.0
        derived["wind_from_direction"] = np.where(calm, np.nan, columns["wind_from_direction"])
    return derived
