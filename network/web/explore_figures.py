"""The village map and strip as figures for the interactive charts: plain data, drawn only when somebody explores."""

from typing import Any

import numpy as np
import plotly.graph_objects as go
from django.utils import translation
from django.utils.translation import gettext as _

from network.models import VillageMap
from network.pipeline.maps.map import estimate, village_grid
from network.science.units import convert
from network.science.variables import VARIABLES
from network.spatial.village import Map, TooFew
from network.web.quantities import unit_sign
from network.web.strip import DEEPEST, departures, steps
from network.web.village_map import ROWS, MapPicture
from network.web.village_map_picture import WIDTH
from network.web.village_now import VillageNow

TINT = [[0.0, "#fbfaf6"], [1.0, "#4a6d86"]]
DEPARTURES = [[0.0, "#395e92"], [0.25, "#98a9c4"], [0.5, "#fbfaf6"], [0.75, "#cba26d"], [1.0, "#8a5200"]]
PAPER: dict[str, Any] = {"paper_bgcolor": "rgba(0,0,0,0)", "plot_bgcolor": "rgba(0,0,0,0)"}
INK = {"family": "system-ui, sans-serif", "color": "#5c6068"}
BARE = {"visible": False, "fixedrange": False}


def map_figure(now: VillageNow, variable: str, picture: MapPicture) -> str:
    """The map as contours that tell value and error under the pointer, with the stations over it."""
    figure = go.Figure(layout={**PAPER, "font": INK, "margin": {"l": 0, "r": 0, "t": 8, "b": 0}})
    figure.update_layout(
        xaxis=BARE, yaxis={**BARE, "scaleanchor": "x"}, showlegend=False, separators=_separators()
    )
    unit = unit_sign(variable)
    cells = _cells(now, variable)
    if cells is not None:
        values, error = cells
        rows, columns = values.shape
        height = picture.height
        figure.add_contour(
            x=np.linspace(0, WIDTH, columns).round(1),
            y=np.linspace(0, height, rows).round(1),
            z=values.round(4),
            customdata=error.round(2),
            colorscale=TINT,
            contours={"showlabels": True},
            line={"color": "#1d2127", "width": 0.8},
            showscale=False,
            hovertemplate=f"%{{z:.1f}} ± %{{customdata:.1f}} {unit}<extra></extra>",
        )
    marks = picture.marks
    figure.add_scatter(
        x=[mark.x for mark in marks],
        y=[picture.height - mark.y for mark in marks],
        mode="markers+text",
        text=[mark.figure for mark in marks],
        textposition="middle right",
        textfont={"color": "#1d2127"},
        marker={"color": "#1d2127", "size": 8, "symbol": [_symbol(mark.verdict) for mark in marks]},
        hovertext=[f"{mark.name}: {_(mark.verdict)}" for mark in marks],
        hoverinfo="text",
    )
    return str(figure.to_json())


def strip_figure(now: VillageNow, variable: str) -> str:
    """The strip as a heat map: departures in standard errors, and in the variable's unit under the pointer."""
    at, rows = departures(now, variable)
    entry = VARIABLES[variable]
    size = float(np.ptp(convert([0.0, 1.0], entry.unit, entry.shown_unit)))
    order = list(reversed(rows))  # a heat map stacks its rows from the bottom
    figure = go.Figure(
        go.Heatmap(
            x=[now.when.local(int(seconds)).replace(tzinfo=None) for seconds in at],
            y=[now.stations[pk].name for pk in order],
            z=[_bare(steps(rows[pk][0] / rows[pk][1])) for pk in order],
            customdata=np.array([(rows[pk][0] * size).round(2) for pk in order]),
            zmin=-DEEPEST,
            zmax=DEEPEST,
            colorscale=DEPARTURES,
            showscale=False,
            hovertemplate=f"%{{y}}, %{{x|%H:%M}}: %{{customdata:+.1f}} {unit_sign(variable)}<extra></extra>",
            ygap=3,
        )
    )
    figure.update_layout(
        **PAPER,
        font=INK,
        separators=_separators(),
        margin={"l": 120, "r": 0, "t": 8, "b": 40},
        height=90 + 30 * len(order),
    )
    german = translation.get_language() == "de"  # the library's own names of weekdays are English
    days = "%-d.%-m." if german else "%a %-d"
    figure.update_xaxes(showgrid=False, tickformat=f"%H:%M\n{days}", hoverformat="%H:%M")
    figure.update_yaxes(showgrid=False)
    return str(figure.to_json())


def _cells(now: VillageNow, variable: str) -> tuple[np.ndarray, np.ndarray] | None:
    """Estimate and standard error over the village in the shown unit; the wind's speed."""
    kept = VillageMap.objects.filter(village=now.village, variable=variable, at=now.when.at).first()
    if kept is None:
        return None
    grid = village_grid(now.village, ROWS)
    try:
        made = estimate(now.village, [kept], grid)
    except TooFew:
        return None
    entry = VARIABLES[variable]
    value = made.estimate if isinstance(made, Map) else np.hypot(made.eastward, made.northward)
    size = float(np.ptp(convert([0.0, 1.0], entry.unit, entry.shown_unit)))
    shown = convert(value[:, 0], entry.unit, entry.shown_unit)
    return shown.reshape(grid.shape), (made.error[:, 0] * size).reshape(grid.shape)


def _separators() -> str:
    """The signs of decimals and thousands."""
    return ",." if translation.get_language() == "de" else ".,"


def _bare(values: np.ndarray) -> list[float | None]:
    return [None if np.isnan(value) else float(value) for value in values]


def _symbol(verdict: str) -> str:
    return {"good": "circle", "wrong": "x-thin-open", "missing": "line-ew-open"}.get(verdict, "circle-open")
