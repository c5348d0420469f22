"""The conditions a suggestion is for: as typed in any units, the rest from the logbook's last reading."""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from typing import Any

import polars as pl

from pipeline.decide.results import Forecast
from pipeline.errors import RequestError, UnitError
from pipeline.garage.dictionary import TRACK_TEMP, WEATHER, Column
from pipeline.garage.logbook import Garage
from pipeline.garage.parts import Venue
from pipeline.garage.spelling import folded
from pipeline.garage.units import Plausible, parse_quantity
from pipeline.physics.air import density_simple
from pipeline.physics.atmosphere import (
    altimeter_from_station,
    density_altitude,
    standard_pressure,
    station_from_altimeter,
)
from pipeline.physics.constants import FOOT_M, INHG_PA, kelvin_from_degf
from pipeline.physics.vapor import (
    relative_humidity,
    saturation_vapor_pressure,
    vapor_pressure_from_dew_point,
    vapor_pressure_from_grains,
)
from pipeline.physics.wet_bulb import vapor_pressure_from_wet_bulb
from pipeline.workspace import ForecastAsked

WEATHER_SWING_INHG = 1.5
"""A station reading farther from the standard pressure at the strip's height than this is taken for an
altimeter setting: outside great storms, sea-level pressure stays this near 29.92 inHg. [judgement]"""

_MOISTURE_PA = 5.0  # least water in the air for a density: a dew point near -50 degF


@dataclass(frozen=True, slots=True)
class _Air:
    """Air as far as it is known: SI, None where not."""

    temp_degf: float | None = None
    pressure_pa: float | None = None
    vapor_pa: float | None = None
    humidity: float | None = None  # typed as a share of what air of a temperature not yet known can hold


def read_forecast(
    asked: ForecastAsked, *, runs: pl.DataFrame, weather: pl.DataFrame, track: pl.DataFrame, garage: Garage
) -> Forecast:
    """Put a forecast together.

    Parameters
    ----------
    asked
        As typed. Pressure may end in ``altimeter`` or ``station``; humidity may be a percentage, a dew
        point with its unit, or grains.
    runs, weather, track
        Of the store; only the last reading at the venue is used, for what was not typed.
    garage
        For the strip's elevation and other spellings.

    Returns
    -------
    Forecast
        ``filled_from`` says what was taken from where and what was read as something else. A part nobody
        ever wrote down is None.

    Raises
    ------
    RequestError
        When a typed value is not that quantity or the venue is not known.

    Notes
    -----
    When the air temperature is typed but the humidity is not, the last reading's water (vapor pressure)
    is kept, not its relative humidity: water changes more slowly over a day than temperature.
    """
    venue = _venue(asked.venue, runs, weather, garage)
    place = _described(venue, garage)
    said: list[str] = []
    track_temp = _typed(asked.track_temp, TRACK_TEMP, "--track-temp")
    if track_temp is None:
        track_temp = _last_track(track, runs, venue, said)
    air = _typed_air(asked, place, said)
    last, where = _last_air(weather, runs, venue, garage)
    air = _filled(air, last, where, said)
    return _forecast(venue, track_temp, air, tuple(said))


def _forecast(venue: str | None, track_temp: float | None, air: _Air, said: tuple[str, ...]) -> Forecast:
    humidity = density = altitude = None
    if air.temp_degf is not None:
        kelvin = kelvin_from_degf(air.temp_degf)
        if air.vapor_pa is not None:
            humidity = 100 * min(1.0, air.vapor_pa / saturation_vapor_pressure(kelvin))
        if air.pressure_pa is not None and air.vapor_pa is not None:
            density = float(density_simple(kelvin, air.pressure_pa, air.vapor_pa))
            altitude = float(density_altitude(density)) / FOOT_M
    return Forecast(
        venue=venue,
        track_temp_degf=track_temp,
        air_temp_degf=air.temp_degf,
        station_pressure_inhg=None if air.pressure_pa is None else air.pressure_pa / INHG_PA,
        humidity_pct=humidity,
        air_density_kg_per_m3=density,
        density_altitude_ft=altitude,
        filled_from=said,
    )


# --- as typed


def _typed(text: str | None, column: Column, option: str) -> float | None:
    """Read one typed quantity and refuse what it cannot be."""
    if text is None:
        return None
    low = -math.inf if column.low is None else column.low
    high = math.inf if column.high is None else column.high
    try:
        return parse_quantity(text, column.unit, Plausible(low, high))
    except UnitError as wrong:
        raise RequestError(
            f"{option} {text!r} cannot be read. {wrong.problem}",
            f"Write {column.meaning} with its unit, such as {_EXAMPLES[option]}.",
        ) from wrong


_EXAMPLES = {
    "--track-temp": "95F or 35C",
    "--air-temp": "84F or 29C",
    "--pressure": '"29.1 inHg" or 985hPa',
    "--humidity": "55%",
}


def _typed_air(asked: ForecastAsked, place: Venue | None, said: list[str]) -> _Air:
    temp = _typed(asked.air_temp, WEATHER.column("air_temp_degf"), "--air-temp")
    pressure = _typed_pressure(asked.pressure, place, said)
    vapor, humidity = _typed_water(asked.humidity, pressure, said)
    return _Air(temp, pressure, vapor, humidity)


def _typed_pressure(text: str | None, place: Venue | None, said: list[str]) -> float | None:
    """Read the pressure, station or altimeter, as station pressure. [Pa]."""
    if text is None:
        return None
    kind = next((word for word in ("altimeter", "station") if re.search(rf"\b{word[:3]}", text, re.I)), None)
    number = re.sub(r"\b(alt|altimeter|station|stn|sta)\b\.?", "", text, flags=re.I)
    given = _typed(number, WEATHER.column("pressure_inhg"), "--pressure") or 0.0
    if place is None or place.elevation_ft is None:
        if kind == "altimeter":
            raise RequestError(
                f"--pressure {text!r} is an altimeter setting, and the strip's elevation is not known.",
                "Add 'elevation' to its [[venue]] part, or give the station pressure.",
            )
        return given * INHG_PA
    height_m = place.elevation_ft * FOOT_M
    usual = float(standard_pressure(height_m)) / INHG_PA
    if kind is None and abs(given - usual) > WEATHER_SWING_INHG:
        kind = "altimeter"
        said.append(
            f"the pressure, {given:.2f} inHg, cannot be the station's at {place.elevation_ft:,.0f} ft "
            f"(about {usual:.1f}), so it is read as an altimeter setting"
        )
    if kind == "altimeter":
        return float(station_from_altimeter(given * INHG_PA, height_m))
    return given * INHG_PA


def _typed_water(
    text: str | None, pressure_pa: float | None, said: list[str]
) -> tuple[float | None, float | None]:
    """Read the humidity as typed: a vapor pressure [Pa], or a fraction of saturation."""
    if text is None:
        return None, None
    cleaned = re.sub(r"\bdew(\s*point)?\b", "", text, flags=re.I)
    for unit, reader in (("degF", _from_dew_point), ("gr/lb", _from_grains)):
        if _has_unit(cleaned, unit):
            return reader(parse_quantity(cleaned, unit), pressure_pa), None
    percent = _typed(cleaned, WEATHER.column("humidity_pct"), "--humidity") or 0.0
    if "%" not in text and 0 < percent < 1:
        percent *= 100
        said.append(f"the humidity, {text.strip()}, is read as a share, {percent:.0f} %")
    return None, percent / 100


def _has_unit(text: str, canonical: str) -> bool:
    """Whether a unit is written and it is of this kind."""
    if not re.search(r"[^\d\s.,+-]", text):
        return False
    try:
        parse_quantity(text, canonical)
    except UnitError:
        return False
    return True


def _from_dew_point(dew_degf: float, _pressure_pa: float | None) -> float:
    return float(vapor_pressure_from_dew_point(kelvin_from_degf(dew_degf)))


def _from_grains(grains: float, pressure_pa: float | None) -> float:
    if pressure_pa is None:
        raise RequestError(
            f"--humidity of {grains:g} grains needs the pressure.", "Give --pressure too, or a percentage."
        )
    return float(vapor_pressure_from_grains(grains, pressure_pa))


# --- from the logbook


def _described(venue: str | None, garage: Garage) -> Venue | None:
    if venue is None:
        return None
    spellings = {folded(word): each for each in garage.venues for word in (each.name, *each.also)}
    return spellings.get(folded(venue))


def _venue(asked: str | None, runs: pl.DataFrame, weather: pl.DataFrame, garage: Garage) -> str | None:
    """Settle on the venue as the store spells it: the one asked for, or that of the last run."""
    if asked is None:
        known = runs.sort("run_at", "run_id", nulls_last=False)["venue"].drop_nulls()
        return str(known[-1]) if known.len() else None
    place = _described(asked, garage)
    if place is not None:
        return place.name
    names = sorted({*runs["venue"].drop_nulls(), *_column(weather, "venue").drop_nulls()})
    for name in names:
        if folded(name) == folded(asked):
            return str(name)
    names = sorted({*names, *(each.name for each in garage.venues)})
    close = difflib.get_close_matches(asked, names, n=1)
    raise RequestError(
        f"--venue {asked!r} is not in this logbook.",
        f"Did you mean {close[0]!r}?" if close else f"Strips here: {', '.join(names) or 'none yet'}.",
    )


def _column(frame: pl.DataFrame, name: str) -> pl.Series:
    return frame[name] if name in frame.columns else pl.Series(name, [], dtype=pl.String)


def _last_row(
    frame: pl.DataFrame, at: str, needed: str | pl.Expr, venue: str | None
) -> tuple[dict[str, Any], str] | None:
    """Find the last reading at the venue that has what is needed; failing that, the last anywhere."""
    if frame.is_empty() or at not in frame.columns:
        return None
    has = pl.col(needed).is_not_null() if isinstance(needed, str) else needed
    known = frame.filter(has).sort(at, nulls_last=False)
    here = known.filter(pl.col("venue") == venue) if venue is not None else known.clear()
    chosen = here if not here.is_empty() else known
    if chosen.is_empty():
        return None
    row = chosen.row(-1, named=True)
    when = f"{row[at]:%Y-%m-%d %H:%M}" if row[at] is not None else "an unknown day"
    place = row["venue"] or "an unknown strip"
    elsewhere = "" if not here.is_empty() or venue is None else f", for want of any at {venue}"
    return row, f"the reading of {when} at {place}{elsewhere}"


def _last_track(track: pl.DataFrame, runs: pl.DataFrame, venue: str | None, said: list[str]) -> float | None:
    readings = [
        frame.select("venue", "track_temp_degf", pl.col(at).alias("at"))
        for frame, at in ((track, "read_at"), (runs, "run_at"))
        if "track_temp_degf" in frame.columns and not frame.is_empty()
    ]
    found = (
        _last_row(pl.concat(readings, how="vertical_relaxed"), "at", "track_temp_degf", venue)
        if readings
        else None
    )
    if found is None:
        said.append("no track temperature was given or ever written down: the middle of the runs' is used")
        return None
    row, where = found
    said.append(f"not given: track temperature {row['track_temp_degf']:.0f} degF, from {where}")
    return float(row["track_temp_degf"])


def _last_air(
    weather: pl.DataFrame, runs: pl.DataFrame, venue: str | None, garage: Garage
) -> tuple[_Air, str]:
    """Air of the last weather reading that has a temperature, or of the last run that knows it."""
    found = _last_row(weather, "read_at", "air_temp_degf", venue)
    if found is None and "air_temp_degf" in runs.columns:
        found = _last_row(runs, "run_at", "air_temp_degf", venue)
    if found is None:
        return _Air(), ""
    row, where = found
    measured = _described(row["venue"], garage)
    kelvin, pressure_pa = kelvin_from_degf(float(row["air_temp_degf"])), _station_pressure(row, measured)
    vapor_pa = _vapor_of_reading(row, kelvin, pressure_pa)
    if row["venue"] != venue:
        pressure_pa = _carried(pressure_pa, measured, _described(venue, garage))
    return _Air(float(row["air_temp_degf"]), pressure_pa, vapor_pa), where


def _station_pressure(row: dict[str, Any], place: Venue | None) -> float | None:
    """Station pressure of a weather reading or a run where it was taken. [Pa]."""
    if row.get("station_pressure_inhg") is not None:
        return float(row["station_pressure_inhg"]) * INHG_PA
    pressure = row.get("pressure_inhg")
    if pressure is None or row.get("pressure_kind") != "altimeter":
        return None if pressure is None else float(pressure) * INHG_PA
    if place is None or place.elevation_ft is None:
        return None
    return float(station_from_altimeter(pressure * INHG_PA, place.elevation_ft * FOOT_M))


def _carried(pressure_pa: float | None, measured: Venue | None, wanted: Venue | None) -> float | None:
    """Bring a station pressure to another strip's height through the altimeter setting. [Pa]."""
    heights = [None if place is None else place.elevation_ft for place in (measured, wanted)]
    if pressure_pa is None or heights[0] is None or heights[1] is None:
        return None
    altimeter = altimeter_from_station(pressure_pa, heights[0] * FOOT_M)
    return float(station_from_altimeter(altimeter, heights[1] * FOOT_M))


def _vapor_of_reading(row: dict[str, Any], kelvin: float, pressure_pa: float | None) -> float | None:
    """Water of a reading, in whichever form it was written. [Pa]."""
    if row.get("vapor_pressure_inhg") is not None:
        return float(row["vapor_pressure_inhg"]) * INHG_PA
    if row.get("humidity_pct") is not None:
        return float(row["humidity_pct"]) / 100 * float(saturation_vapor_pressure(kelvin))
    if row.get("dew_point_degf") is not None:
        return float(vapor_pressure_from_dew_point(kelvin_from_degf(row["dew_point_degf"])))
    if pressure_pa is not None and row.get("wet_bulb_degf") is not None:
        return float(
            vapor_pressure_from_wet_bulb(kelvin, kelvin_from_degf(row["wet_bulb_degf"]), pressure_pa)
        )
    if pressure_pa is not None and row.get("grains") is not None:
        return float(vapor_pressure_from_grains(float(row["grains"]), pressure_pa))
    return None


def _filled(air: _Air, last: _Air, where: str, said: list[str]) -> _Air:
    """Fill what was not typed from the last reading, and say so."""
    temp, pressure, vapor = air.temp_degf, air.pressure_pa, air.vapor_pa
    taken = []
    if temp is None and last.temp_degf is not None:
        temp = last.temp_degf
        taken.append(f"air {temp:.0f} degF")
    if pressure is None and last.pressure_pa is not None:
        pressure = last.pressure_pa
        taken.append(f"station pressure {pressure / INHG_PA:.2f} inHg")
    if air.humidity is not None and temp is not None:
        vapor = air.humidity * float(saturation_vapor_pressure(kelvin_from_degf(temp)))
    if vapor is None and last.vapor_pa is not None and temp is not None:
        kelvin = kelvin_from_degf(temp)
        vapor = min(max(last.vapor_pa, _MOISTURE_PA), float(saturation_vapor_pressure(kelvin)))
        taken.append(f"the water in the air ({100 * relative_humidity(kelvin, vapor):.0f} % humidity)")
    if taken:
        said.append(f"not given: {_listed(taken)}, from {where}")
    return _Air(temp, pressure, vapor)


def _listed(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
