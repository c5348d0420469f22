"""Put every kind of bad entry on a clean season, at known cells, with what should be suggested.

A swap of digits that moves a time by less than `LEAST_SWAP_S` is not put in: it is smaller than the
difference between two honest runs, and nobody reading the ticket's copy could tell.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from tests.corpus.clean_season import GRAMS_LIMIT, LEVERS, SAFE_TURNS, Row, Season
from tests.corpus.sheet_styles import Style, cell_text

LEAST_SWAP_S = 0.09
Truth = float | str | None


@dataclass(slots=True)
class Slip:
    """One slip of the pen.

    Attributes
    ----------
    kind
        Name of the error.
    sheet
        Kind of sheet.
    row
        The row it stands in (compared by identity).
    truths
        Column -> what should be suggested there; None = any suggestion, or none, will do.
    beside
        Columns whose being questioned is part of the same finding.
    also_rows
        Rows where the question may stand as well.
    """

    kind: str
    sheet: str
    row: Row
    truths: dict[str, Truth]
    beside: tuple[str, ...] = ()
    also_rows: tuple[Row, ...] = ()


@dataclass(slots=True)
class Pen:
    """What an injection works with; each row is used once."""

    rng: np.random.Generator
    season: Season
    style: Style
    used: set[int]

    @property
    def numbers(self) -> tuple[str, ...]:
        """The numbers these tickets have, in their order."""
        return self.season.numbers

    @property
    def splits(self) -> tuple[str, ...]:
        """The elapsed times among them."""
        return tuple(name for name in self.numbers if name.endswith("_s"))

    def whole(self, row: Row) -> bool:
        """Whether a slip has every number of its ticket."""
        return all(row[name] is not None for name in self.numbers)

    def pick(self, sheet: str, fits: Callable[[Row], bool]) -> Row | None:
        """Choose a row that nothing was done to and that fits."""
        rows = [row for row in self.season.rows[sheet] if id(row) not in self.used and fits(row)]
        if not rows:
            return None
        row = rows[int(self.rng.integers(len(rows)))]
        self.used.add(id(row))
        return row


def _any_row(_row: Row) -> bool:
    return True


def _typed(row: Row, column: str, text: str) -> None:
    row.setdefault("as_typed", {})[column] = text


def _moved(pen: Pen, row: Row, moves: dict[str, str]) -> None:
    """Type the numbers of some columns into others, with the decimals they have on the ticket."""
    held = {source: row[source] for source in moves.values()}
    for column, source in moves.items():
        row[column] = held[source]
        _typed(row, column, cell_text(source, held[source], pen.style))


def missing_decimal(pen: Pen) -> Slip | None:
    row = pen.pick("timeslips", pen.whole)
    if row is None:
        return None
    column = str(pen.rng.choice(pen.numbers))
    text = cell_text(column, row[column], pen.style)
    _typed(row, column, text.replace(".", "").replace(",", ""))
    return Slip("missing decimal", "timeslips", row, {column: row[column]})


def _swaps(text: str) -> list[float]:
    found = []
    for at in range(len(text)):
        other = at + 1 if text[at + 1 : at + 2] != "." else at + 2
        if text[at] != "." and other < len(text) and text[at] != text[other]:
            letters = list(text)
            letters[at], letters[other] = letters[other], letters[at]
            found.append(float("".join(letters)))
    return found


def swapped_digits(pen: Pen) -> Slip | None:
    row = pen.pick("timeslips", lambda r: pen.whole(r) and r["outcome"] in (None, "clean"))
    if row is None:
        return None
    column = str(pen.rng.choice(pen.splits))
    swaps = [v for v in _swaps(f"{row[column]:.3f}") if abs(v - row[column]) >= LEAST_SWAP_S and v > 0.3]
    if not swaps:
        return None
    truth = row[column]
    row[column] = float(pen.rng.choice(swaps))
    return Slip("swapped digits", "timeslips", row, {column: truth})


def next_column(pen: Pen) -> Slip | None:
    row = pen.pick("timeslips", pen.whole)
    if row is None:
        return None
    names = pen.numbers
    at = int(pen.rng.integers(0, len(names) - 1))
    own, beside = names[at], names[at + 1]
    truth = row[own]
    if pen.rng.random() < 0.5:
        _moved(pen, row, {beside: own})  # the neighbour's own number was never written
        row[own] = None
        return Slip("next column", "timeslips", row, {own: truth, beside: "empty"})
    truths: dict[str, Truth] = {name: row[name] for name in names[at:]}
    _moved(pen, row, {names[place]: names[place - 1] for place in range(at + 1, len(names))})
    row[own] = None
    truths[names[-1]] = "empty"  # its own number fell off the end
    return Slip("next column", "timeslips", row, truths)


def not_rising(pen: Pen) -> Slip | None:
    row = pen.pick("timeslips", pen.whole)
    if row is None:
        return None
    at = int(pen.rng.integers(0, len(pen.splits) - 1))
    one, two = pen.splits[at], pen.splits[at + 1]
    truths: dict[str, Truth] = {one: row[one], two: row[two]}
    row[one], row[two] = row[two], row[one]
    return Slip("splits not increasing", "timeslips", row, truths)


def time_and_speed(pen: Pen) -> Slip | None:
    row = pen.pick("timeslips", pen.whole)
    if row is None:
        return None
    pairs = [("t660_s", "v660_mph"), ("t1320_s", "v1320_mph")]
    time, speed = pairs[int(pen.rng.integers(2 if "v1320_mph" in pen.numbers else 1))]
    truths: dict[str, Truth] = {time: row[time], speed: row[speed]}
    _moved(pen, row, {time: speed, speed: time})
    return Slip("mph and time swapped", "timeslips", row, truths)


def hundredths(pen: Pen) -> Slip | None:
    if pen.style.workbook:
        return None  # a number in a workbook does not show its decimals
    row = pen.pick("timeslips", pen.whole)
    if row is None:
        return None
    column = str(pen.rng.choice(pen.splits))
    text = f"{row[column]:.2f}"
    _typed(row, column, text.replace(".", ",") if pen.style.decimal_comma else text)
    return Slip("hundredths", "timeslips", row, {column: round(row[column], 2)})


def comma_decimal(pen: Pen) -> Slip | None:
    if pen.style.decimal_comma:
        return None
    row = pen.pick("timeslips", pen.whole)
    if row is None:
        return None
    column = str(pen.rng.choice(pen.splits))
    _typed(row, column, cell_text(column, row[column], pen.style).replace(".", ","))
    return Slip("comma decimal", "timeslips", row, {column: row[column]})


def celsius(pen: Pen) -> Slip | None:
    if pen.style.celsius:
        return None
    sheet, column = [("weather", "air_temp_degf"), ("track", "track_temp_degf")][int(pen.rng.integers(2))]
    row = pen.pick(sheet, lambda r: r[column] > 50)
    if row is None:
        return None
    truth = row[column]
    row[column] = round((truth - 32) / 1.8, 1)
    return Slip("degC under degF", sheet, row, {column: truth})


def altimeter(pen: Pen) -> Slip | None:
    row = pen.pick("weather", _any_row)
    if row is None:
        return None
    feet = pen.season.elevations_ft[row["venue"]]
    n = 0.190263
    gap = 29.9213**n * 6.8756e-6 * feet
    said = row["pressure_kind"]
    read = row["pressure_inhg"]
    row["pressure_inhg"] = round((read**n + (gap if said == "station" else -gap)) ** (1 / n), 2)
    other = "altimeter" if said == "station" else "station"
    return Slip(f"{other} given as {said}", "weather", row, {"pressure_kind": other}, ("pressure_inhg",))


def humidity_fraction(pen: Pen) -> Slip | None:
    row = pen.pick("weather", _any_row)
    if row is None:
        return None
    truth = row["humidity_pct"]
    row["humidity_pct"] = truth / 100
    return Slip("humidity as fraction", "weather", row, {"humidity_pct": truth})


def am_pm(pen: Pen) -> Slip | None:
    sheet = str(pen.rng.choice(["timeslips", "timeslips", "weather", "track"]))
    if pen.style.untimed:
        sheet = "weather"
    row = pen.pick(sheet, lambda r: r["time"].hour != 12 and r["time"] != dt.time(0, 0))
    if row is None:
        return None
    truth = row["time"]
    row["time"] = truth.replace(hour=(truth.hour + 12) % 24)
    return Slip("am/pm slip", sheet, row, {"time": truth.strftime("%H:%M")})


def day_month(pen: Pen) -> Slip | None:
    sheet = str(pen.rng.choice(["timeslips", "timeslips", "weather", "track", "setups"]))
    row = pen.pick(sheet, lambda r: r["date"].day <= 12 and r["date"].day != r["date"].month)
    if row is None:
        return None
    truth = row["date"]
    row["date"] = truth.replace(month=truth.day, day=truth.month)
    return Slip("day and month swapped", sheet, row, {"date": truth.isoformat()})


def wrong_year(pen: Pen) -> Slip | None:
    sheet = str(pen.rng.choice(["timeslips", "timeslips", "weather", "track", "setups", "checks"]))
    row = pen.pick(sheet, _any_row)
    if row is None:
        return None
    truth = row["date"]
    row["date"] = truth.replace(year=truth.year + int(pen.rng.choice([-1, -1, 1])))
    return Slip("wrong year", sheet, row, {"date": truth.isoformat()})


def _misspelled(pen: Pen, name: str) -> str:
    letters = [at for at in range(1, len(name) - 2) if " " not in name[at : at + 2]]
    at = int(pen.rng.choice(letters))
    way = int(pen.rng.integers(3))
    if way == 0:
        return name[:at] + name[at + 1 :]
    if way == 1 and name[at] != name[at + 1]:
        return name[:at] + name[at + 1] + name[at] + name[at + 2 :]
    return name[:at] + name[at] + name[at:]


def spelled_two_ways(pen: Pen) -> Slip | None:
    sheet, column = [("timeslips", "car"), ("setups", "car"), ("timeslips", "venue"), ("weather", "venue")][
        int(pen.rng.integers(4))
    ]
    row = pen.pick(sheet, _any_row)
    if row is None:
        return None
    truth = row[column]
    row[column] = _misspelled(pen, truth)
    return Slip(f"{column} spelled two ways", sheet, row, {column: truth})


def same_run_twice(pen: Pen, *, differ: bool) -> Slip | None:
    row = pen.pick("timeslips", lambda r: pen.whole(r) and r["outcome"] in (None, "clean"))
    if row is None:
        return None
    copy = dict(row)
    rows = pen.season.rows["timeslips"]
    rows.insert(next(at for at, r in enumerate(rows) if r is row) + 1, copy)
    pen.used.add(id(copy))
    if not differ:
        return Slip("same run twice, same", "timeslips", copy, {"*": "merged"}, also_rows=(row,))
    column = str(pen.rng.choice(pen.numbers))
    truth = row[column]
    wrong = [row, copy][int(pen.rng.integers(2))]
    step = 0.01 if column.endswith("_s") else 0.3
    wrong[column] = round(truth + step * int(pen.rng.choice([-9, -5, 4, 7, 10])), 3)
    return Slip("same run twice, different", "timeslips", row, {column: truth}, also_rows=(copy,))


def setup_after_runs(pen: Pen) -> Slip | None:
    slips = pen.season.rows["timeslips"]

    def explained(setup: Row) -> list[Row]:
        return [
            s for s in slips
            if s["car"] == setup["car"] and s["date"] == setup["date"] and s["time"] >= setup["time"]
            and s["launch_rpm"] == setup.get("launch_rpm")
        ]  # fmt: skip

    changes = [r for r in pen.season.rows["setups"] if "launch_rpm" in r]
    seen: dict[str, Row] = {}
    real: set[int] = set()
    for change in changes:
        before = seen.get(change["car"])
        if before is not None and before["launch_rpm"] != change["launch_rpm"]:
            real.add(id(change))
        seen[change["car"]] = change
    row = pen.pick("setups", lambda r: id(r) in real and len(explained(r)) >= 2)
    if row is None:
        return None
    runs = explained(row)
    truth_day, first = row["date"], runs[0]["time"]
    if pen.rng.random() < 0.5 and not pen.style.untimed:
        last = runs[-1]["time"]
        row["time"] = (dt.datetime.combine(truth_day, last) + dt.timedelta(minutes=20)).time()
        return Slip("setup dated after its runs", "setups", row, {"time": first.strftime("%H:%M")}, ("date",))
    row["date"] = truth_day + dt.timedelta(days=1)
    return Slip("setup dated after its runs", "setups", row, {"date": truth_day.isoformat()}, ("time",))


def turns_past_limit(pen: Pen) -> Slip | None:
    def swaps(row: Row) -> bool:
        return row.get("preload_turns") is not None

    row = pen.pick("setups", swaps)
    if row is None:
        return None
    truth = row["preload_turns"]
    choices = [v for v in (truth * 10, *_swaps(f"{truth:.1f}")) if v > SAFE_TURNS]
    if not choices:
        return None
    row["preload_turns"] = float(pen.rng.choice(choices))
    return Slip("turns past the limit", "setups", row, {"preload_turns": truth})


def unequal_screws(pen: Pen) -> Slip | None:
    row = pen.pick("setups", lambda r: r.get("preload_turns") is not None)
    if row is None:
        return None
    turns = [row["preload_turns"]] * 8
    turns[int(pen.rng.integers(8))] += float(pen.rng.choice([-1.5, 1.0, 2.0]))
    texts = [f"{value:g}" for value in turns]
    if pen.style.decimal_comma:
        texts = [text.replace(".", ",") for text in texts]
    _typed(row, "preload_turns", " ".join(texts))
    return Slip(
        "unequal screws", "setups", row, {"preload_turns": " ".join([f"{row['preload_turns']:g}"] * 8)}
    )


def ring_down(pen: Pen) -> Slip | None:
    checks = pen.season.rows["checks"]
    place = {id(row): at for at, row in enumerate(checks)}

    def later(row: Row) -> bool:
        own = [r for r in checks if r["car"] == row["car"]]
        return own.index(row) >= 1

    served = pen.pick(
        "checks", lambda r: r.get("shim_removed_in") is not None and place[id(r)] > 0 and later(r)
    )
    if served is not None and pen.rng.random() < 0.6:
        truth = served.pop("shim_removed_in")
        return Slip(
            "ring height down, no service", "checks", served, {"shim_removed_in": truth}, ("ring_height_in",)
        )
    row = pen.pick("checks", lambda r: r.get("shim_removed_in") is None and later(r))
    if row is None:
        return None
    truth = row["ring_height_in"]
    lower = [v for v in _swaps(f"{truth:.3f}") if 1.2 < v < truth - 0.01] + [
        round(truth - 0.1, 3),
        round(truth - 0.03, 3),
    ]
    row["ring_height_in"] = float(pen.rng.choice(lower))
    return Slip(
        "ring height down, no service", "checks", row, {"ring_height_in": truth}, ("shim_removed_in",)
    )


def counterweight_total(pen: Pen) -> Slip | None:
    row = pen.pick(
        "setups",
        lambda r: r.get("counterweight_g") is not None and r["counterweight_g"] * LEVERS > GRAMS_LIMIT,
    )
    if row is None:
        return None
    truth = row["counterweight_g"]
    row["counterweight_g"] = truth * LEVERS
    return Slip("counterweight in total", "setups", row, {"counterweight_g": truth})


def track_below_air(pen: Pen) -> Slip | None:
    row = pen.pick("track", lambda r: dt.time(11, 30) <= r["time"] <= dt.time(15))
    if row is None:
        return None
    air = [
        w["air_temp_degf"]
        for w in pen.season.rows["weather"]
        if w["date"] == row["date"] and id(w) not in pen.used
    ]
    if not air or min(air) < 55:
        return None
    row["track_temp_degf"] = round(min(air) - float(pen.rng.integers(5, 14)), 0)
    return Slip("track below the air at noon", "track", row, {"track_temp_degf": None})


INJECTIONS: tuple[Callable[[Pen], Slip | None], ...] = (
    missing_decimal, swapped_digits, next_column, not_rising, time_and_speed, hundredths, comma_decimal,
    celsius, altimeter, humidity_fraction, am_pm, day_month, wrong_year, spelled_two_ways,
    lambda pen: same_run_twice(pen, differ=False), lambda pen: same_run_twice(pen, differ=True),
    setup_after_runs, turns_past_limit, unequal_screws, ring_down, counterweight_total, track_below_air,
)  # fmt: skip


def spoil(rng: np.random.Generator, season: Season, style: Style, slips: int) -> list[Slip]:
    """Put ``slips`` slips of the pen of different kinds on a season; give what was done.

    The rows end in the order of the style.
    """
    pen = Pen(rng, season, style, set())
    order: list[Any] = [INJECTIONS[int(at)] for at in rng.permutation(len(INJECTIONS))]
    done = (inject(pen) for inject in order[:slips])
    found = [slip for slip in done if slip is not None]
    if style.newest_first:
        for rows in season.rows.values():
            rows.reverse()
    return found
