"""The stations of a run of maps, where their households let them be seen: place, values, verdicts, winds."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from network.pipeline.maps.wind import vectors_at_ten_metres
from network.quality.verdict import MISSING
from network.spatial.distance import local_plane
from network.web import village_map_picture as draw
from network.web.quantities import decimals_of, in_shown_unit
from network.web.village_now import VillageNow


def stations(
    now: VillageNow, variable: str, canvas: draw.Canvas
) -> tuple[list[dict[str, Any]], dict[str, NDArray[Any]]]:
    """Each stretch of a station that stands on the picture, and its frames in rows (m, t) of three arrays."""
    verdicts, values = now.verdicts(variable), now.matrix(variable, trusted=False)
    places = decimals_of(variable)
    winds = np.stack(vectors_at_ten_metres(now.seen)) if variable == "wind_speed" else None
    told, rows, marks, blown = [], [], [], []
    for i, place in enumerate(now.seen.places):
        if place.station not in now.stations or place.shown_at is None or variable not in place.noise:
            continue
        east, north = local_plane(*place.shown_at, now.village.centre)
        x, y = float(canvas.x(east)), float(canvas.y(north))
        holds = (place.begins_at <= now.seen.at - 1) & (now.seen.at - 1 < place.ends_at)
        if not (0 <= x <= draw.WIDTH and 0 <= y <= canvas.height and holds.any()):
            continue
        # Rounded here as everywhere else, lest a half in single precision be shown otherwise than in the table.
        shown = [round(one, places) for one in in_shown_unit(variable, values[place.station]).tolist()]
        value = np.where(holds, shown, np.nan)
        verdict = np.where(holds, verdicts[place.station], MISSING)
        if variable == "rain_amount":
            verdict = np.where(np.isnan(value), MISSING, verdict)
        told.append(
            {"station": place.station, "name": now.stations[place.station].name, "x": round(x), "y": round(y)}
        )
        rows.append(value)
        marks.append(verdict)
        if winds is not None:
            blown.append(np.where(holds, winds[:, i], np.nan))
    count = len(now.seen.at)
    arrays: dict[str, NDArray[Any]] = {
        "values": np.array(rows, dtype=np.float32).reshape(-1, count),
        "verdicts": np.array(marks, dtype=np.uint8).reshape(-1, count),
    }
    if winds is not None:
        arrays["winds"] = np.array(blown, dtype=np.float32).reshape(-1, 2, count)
    return told, arrays
