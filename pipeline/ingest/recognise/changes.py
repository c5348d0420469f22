"""Settings written as what was changed: ``+100``, ``down 1/2``, ``same``, each from the value before it."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.ingest.dates import read_dates
from pipeline.ingest.recognise.fill import Row
from pipeline.ingest.recognise.passed_on import PassedOn
from pipeline.ingest.recognise.vocabulary import SETTINGS
from pipeline.ingest.step_words import amount_of, step_of


def settle_changes(rows: Sequence[Row], passed_on: PassedOn) -> None:
    """Write out settings that tell only what was changed.

    Parameters
    ----------
    rows
        Of a table, dates with their years; changed in place. What is added to nothing known is left as typed.
    passed_on
        Keeps the last value of each setting of each car for the tables that follow.
    """
    data = [row for row in rows if row.cells or row.told]
    names = {
        name
        for row in data
        for name in (row.cells or row.told)
        if name in SETTINGS or name.startswith("extra:")
    }
    ordered = data[::-1] if _is_newest_first(data) else data
    for name in sorted(names):
        steps = {text: step_of(text) for row in data if (text := (row.cells or row.told).get(name))}
        is_signed = any(not row.cells and row.told.get(name, " ")[0] in "+-" for row in data)
        written = {text for row in data if (text := row.cells.get(name))}
        are_below_none = name in SETTINGS and bool(written) and all(text[0] in "-−–" for text in written)
        are_changes = is_signed or are_below_none or any(step and step[1] for step in steps.values())
        car = next((row.cells["car"] for row in ordered if row.cells.get("car")), "")
        for row in ordered:
            cells = row.cells or row.told
            car = cells.get("car", car)
            text = cells.get(name, "")
            step = steps.get(text) if are_changes else None
            if step is not None and (value := _changed(passed_on.setting(car, name), step[0])):
                cells[name] = value
                passed_on.note_setting(car, name, value)
            elif step is None and amount_of(text) is not None:
                passed_on.note_setting(car, name, text)


def _changed(before: str, step: float) -> str:
    """Give the value after a change, in the unit of the value before; empty where that is not known."""
    base = amount_of(before)
    if base is None or base[0] + step < 0:
        return ""
    return f"{base[0] + step:.6g} {base[1]}".strip()


def _is_newest_first(rows: Sequence[Row]) -> bool:
    """Tell whether the rows of a table go back in time."""
    texts = [row.cells["date"] for row in rows if row.cells.get("date")]
    if not texts:
        return False
    read = read_dates([texts[0], texts[-1]])
    first, last = (read[text].day if text in read else None for text in (texts[0], texts[-1]))
    return first is not None and last is not None and first > last
