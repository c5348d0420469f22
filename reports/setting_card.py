"""Stay or change as two tickets, for every page that shows a next setting."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pipeline.decide.results import Forecast, NextSetting, SettingChoice
from reports.answer import chance_sentences
from reports.numbers import fixed, interval, percent, seconds
from reports.numbers import known as is_known
from reports.words import LEAST_CHANCE, RESPONSE_NAMES, Setting, capital, listed, plain, setting


def setting_card(choice: NextSetting | None, known: Mapping[str, Setting]) -> dict[str, Any] | None:
    """Prepare a next setting for its template.

    Parameters
    ----------
    choice
        None when there is nothing to suggest from.
    known
        How adjustments are called.

    Returns
    -------
    dict or None
        ``options`` (one or two tickets), ``notes`` (sentences), ``forecast`` (lines), ``sentence``.
    """
    if choice is None:
        return None
    change = choice.change_to
    stays = choice.outcome in ("stay", "change")
    options = [
        _ticket(
            "Stay where it is" if stays else "As it stands", choice.stay, choice.stay, known,
            advised=choice.outcome == "stay", stamp="stay",
        )
    ]  # fmt: skip
    if change is not None:
        options.append(_ticket("Change to", change, choice.stay, known, advised=True, stamp="try this"))
    return {
        "options": options,
        "notes": _notes(choice),
        "forecast": forecast_lines(choice.forecast),
        "sentence": choice.sentence,
        "response": RESPONSE_NAMES[choice.response],
    }


def forecast_lines(forecast: Forecast) -> list[dict[str, Any]]:
    """Write a forecast as the lines of a slip; what is not known is left out."""
    lines = [
        ("track", forecast.track_temp_degf, 0, "°F"),
        ("air", forecast.air_temp_degf, 0, "°F"),
        ("pressure", forecast.station_pressure_inhg, 2, "inHg"),
        ("humidity", forecast.humidity_pct, 0, "%"),
        ("density alt.", forecast.density_altitude_ft, 0, "ft"),
    ]
    found: list[dict[str, Any]] = [
        {"name": name, "value": f"{fixed(value, decimals)} {unit}", "strong": name == "track"}
        for name, value, decimals, unit in lines
        if value is not None
    ]
    if forecast.venue:
        found.insert(0, {"name": "at", "value": forecast.venue, "strong": False})
    return found


def _ticket(
    name: str,
    option: SettingChoice,
    stay: SettingChoice,
    known: Mapping[str, Setting],
    *,
    advised: bool,
    stamp: str,
) -> dict[str, Any]:
    return {
        "name": name,
        "advised": advised,
        "stamp": stamp,
        "expected": seconds(option.expected_s) if is_known(option.expected_s) else "",
        "range": interval(option.low_s, option.high_s),
        "wrong": [
            {"name": name, "value": percent(chance)}
            for name, chance in (("spins", option.p_spin), ("bogs", option.p_bog))
            if chance is not None
        ],
        "settings": [
            {
                "name": setting(key, known).label,
                "value": setting(key, known).text(value),
                "changed": value != stay.settings.get(key),
                "was": setting(key, known).bare(stay.settings.get(key)),
            }
            for key, value in option.settings.items()
        ],
    }


def _notes(choice: NextSetting) -> list[str]:
    notes = chance_sentences(choice)
    if choice.outcome == "stay":
        notes.append(
            "Staying is the answer: a change is only offered when it has at least "
            f"{LEAST_CHANCE[choice.risk]}."
        )
    if choice.trial is not None:
        notes.insert(0, choice.trial.sentence)
    if choice.untried:
        notes.insert(0, choice.untried)
    if choice.since_last:
        notes.append(choice.since_last)
    if choice.torque_capacity:
        notes.append(choice.torque_capacity)
    if choice.quick_only:
        notes.append("Only what can be changed between rounds was considered.")
    if choice.limited_by:
        notes.append(f"Held back: {listed(choice.limited_by)}.")
    notes += [capital(line) for line in choice.no_suggestion_for]
    return notes + forecast_notes(choice.forecast)


def forecast_notes(forecast: Forecast) -> list[str]:
    """Say, a sentence each, what of a forecast was taken from the logbook and what was read differently."""
    return [f"{capital(plain(said))}." for said in forecast.filled_from]
