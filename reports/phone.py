"""The page for the hand: it goes on working without a network, from the fitted posterior it carries."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from pipeline.decide.results import Forecast, PhoneModel
from pipeline.garage.dictionary import TRACK_TEMP, WEATHER, Column
from reports.numbers import UNKNOWN
from reports.page import Page, render_page
from reports.words import plain

SCRIPTS = ("phone_model.js", "phone.js")


@dataclass(frozen=True, slots=True)
class PhonePage(Page):
    """What the page is made from.

    Attributes
    ----------
    car
        Its name.
    model
        What the page computes with.
    forecast
        The conditions it opens with.
    quick_only
        Whether it opens with only what can be changed between rounds.
    """

    car: str
    model: PhoneModel
    forecast: Forecast
    quick_only: bool = False


def render(page: PhonePage) -> str:
    """Write the page as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.
    """
    model = json.loads(page.model.document)
    return render_page(
        "phone.html",
        page,
        title=f"{page.car}: at the track",
        extra_scripts=SCRIPTS,
        car=page.car,
        model=model,
        conditions=_conditions(page.forecast),
        settings=_settings(model),
        quick_only=page.quick_only,
        warnings=[warning for warning in page.warnings if warning.kind != "hotter_than_run"],
    )


def _conditions(forecast: Forecast) -> list[dict[str, Any]]:
    """Prepare the fields for what is to come, each with what it opens with and the range it takes."""
    weather = WEATHER.column
    return [
        _field("track", "track temperature", TRACK_TEMP, forecast.track_temp_degf),
        _field("air", "air temperature", weather("air_temp_degf"), forecast.air_temp_degf),
        _field("pressure", "station pressure", weather("pressure_inhg"), forecast.station_pressure_inhg),
        _field("humidity", "humidity", weather("humidity_pct"), forecast.humidity_pct),
    ]


def _field(key: str, label: str, column: Column, value: float | None) -> dict[str, Any]:
    decimals = 2 if key == "pressure" else 0
    return {
        "key": key,
        "label": label,
        "unit": plain(column.unit),
        "low": column.low,
        "high": column.high,
        "step": 10.0**-decimals,
        "exact": value,
        "shown": "" if value is None else f"{value:.{decimals}f}",
    }


def _settings(model: dict[str, Any]) -> list[dict[str, Any]]:
    """Prepare a row of the comparison for every adjustment: its present value, and what may be typed."""
    present = model.get("present", {})
    rows = []
    for factor in model["factors"]:
        if not factor["is_setting"]:
            continue
        limit = model["bounds"].get(factor["name"])
        value = present.get(factor["name"])
        rows.append(
            {
                "name": factor["name"],
                "label": factor["label"],
                "unit": plain(factor["units"][1]),
                "value": "" if value is None else f"{value:g}",
                "varies": factor["varies"],
                "between": "no limit in garage.toml"
                if limit is None
                else f"{_end(limit['low'])} to {_end(limit['high'])}",
            }
        )
    return rows


def _end(value: float | None) -> str:
    return UNKNOWN if value is None else f"{value:g}"
