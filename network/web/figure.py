"""A series as a figure for the interactive chart: plain data, drawn by the library only when asked."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import plotly.graph_objects as go
from django.utils import translation
from django.utils.translation import gettext as _

from network.quality.verdict import DOUBTFUL, GOOD, UNCHECKED, WRONG, reasons_of
from network.science.variables import VARIABLES
from network.web.quantities import by_format, unit_sign
from network.web.reasons import verdict_words
from network.web.series import Series

PAPER, HAIRLINE = "#fbfaf6", "#d9d5c9"
INK, PALE, IRON, OCHRE = "#1d2127", "#5c6068", "#274b7a", "#8a5200"
"""The day theme's tokens; the page's script puts the reader's own in their place."""

SYMBOLS = {GOOD: "circle", DOUBTFUL: "circle-open", WRONG: "circle-x-open", UNCHECKED: "circle-open-dot"}


def figure_json(series: Series, name: str, zone: ZoneInfo) -> str:
    """The figure of one series as JSON; times are the village's."""
    variable = VARIABLES[series.variable]
    figure = go.Figure(layout=_layout(series))
    joined = variable.summary not in ("sum", "direction")
    for line in series.neighbours:
        figure.add_scatter(
            x=_local(line.seconds, zone), y=line.values.round(3), name=line.name, mode="lines" if joined else "markers",
            line={"color": PALE, "width": 0.6}, marker={"color": PALE, "size": 3}, hoverinfo="skip",
        )  # fmt: skip
    words = [_words(series, i) for i in range(len(series))]
    values = np.where(np.isfinite(series.values), series.values.round(3), None)
    hover = f"%{{customdata}}<br>%{{y}} {unit_sign(series.variable)}<br>%{{text}}<extra>{_safe(name)}</extra>"
    common: dict[str, Any] = {"x": _local(series.seconds, zone), "y": values, "text": words, "name": name,
        "customdata": [by_format(datetime.fromtimestamp(at, zone), "D j M H:i") for at in series.seconds.tolist()],
    }  # fmt: skip
    if variable.summary == "sum":
        figure.add_bar(**common, hovertemplate=hover, marker={"color": IRON})
    else:
        trusted = np.where(np.isin(series.verdict, (GOOD, UNCHECKED)), values, None)
        if joined:
            figure.add_scatter(
                x=common["x"], y=trusted, mode="lines", line={"color": INK, "width": 1.6}, hoverinfo="skip",
                connectgaps=False,
            )  # fmt: skip
        figure.add_scatter(
            **common, mode="markers", hovertemplate=hover,
            marker={
                "size": [3 if v == GOOD else 7 for v in series.verdict.tolist()],
                "symbol": [SYMBOLS.get(v, "circle") for v in series.verdict.tolist()],
                "color": [INK if v == GOOD else OCHRE for v in series.verdict.tolist()],
            },
        )  # fmt: skip
    return figure.to_json()


def _layout(series: Series) -> dict[str, Any]:
    variable = VARIABLES[series.variable]
    axis = {"showgrid": True, "gridcolor": HAIRLINE, "zeroline": False}
    vertical, across = dict(axis), dict(axis)
    if translation.get_language() == "de":  # the library's own names of months are English
        days = series.grain == "days"
        across["tickformat"] = "%-d.%-m.\n%Y" if days else "%H:%M\n%-d.%-m."
    if variable.summary == "direction":
        vertical |= {
            "tickvals": [0, 90, 180, 270, 360],
            "ticktext": [_(side) for side in ("north", "east", "south", "west", "north")],
        }
    return {
        "template": None,
        "showlegend": False,
        "height": 420,
        "margin": {"l": 48, "r": 12, "t": 12, "b": 40},
        "paper_bgcolor": PAPER,
        "plot_bgcolor": PAPER,
        "font": {"color": INK, "family": "system-ui, sans-serif", "size": 13},
        "xaxis": across,
        "yaxis": vertical,
        "hoverlabel": {"bgcolor": PAPER, "bordercolor": INK, "font": {"color": INK}},
        "hovermode": "closest",
        "dragmode": "zoom",
    }


def _words(series: Series, i: int) -> str:
    """The verdict of a point, and the checks behind it."""
    if series.grain != "readings":
        return _("{good} of {reports} readings good").format(
            good=round(series.good[i]), reports=round(series.reports[i])
        )
    reasons = [_(name.replace("_", " ")) for name in reasons_of(int(series.marks[i]))]
    return verdict_words(int(series.marks[i]))[1] + (f": {', '.join(reasons)}" if reasons else "")


def _local(seconds: np.ndarray, zone: ZoneInfo) -> list[str]:
    return [f"{datetime.fromtimestamp(at, zone):%Y-%m-%dT%H:%M:%S}" for at in seconds.tolist()]


def _safe(text: str) -> str:
    """A name for the library's hover text, which reads tags and places to fill."""
    return text.translate(str.maketrans("", "", "<>%{}&"))
