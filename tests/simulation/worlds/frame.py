"""Between the table of runs and plain arrays: reading a frame's state, and changing its settings.

The columns, their names and types are made by `tests.simulation.runs_frame`; run with that repository's
root as the current directory and on the path.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
import polars as pl
from numpy.typing import NDArray

from sample_timeslips.launch_simulation import CAR, Car
from tests.simulation.runs_frame import SHOCK, WING, loads_lb, runs_frame

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]

COLUMN = {
    "preload": "preload_turns",
    "counterweight": "counterweight_g",
    "launch_rpm": "launch_rpm",
    "tire_pressure": "tire_pressure_psi",
}
EXTRA = {"shock_clicks": SHOCK, "wing_hole": WING}
ADJUSTMENTS = (*COLUMN, *EXTRA)
CONDITION = {"track_temp": "track_temp_degf", "air_density": "air_density_kg_per_m3", "wear": "wear_in"}
RANGES = {
    "preload": (0.75, 4.5),
    "counterweight": (1.0, 9.0),
    "launch_rpm": (4900.0, 7500.0),
    "tire_pressure": (8.0, 13.0),
    "shock_clicks": (1.0, 11.0),
    "wing_hole": (0.0, 6.0),
}
GRAIN = {
    "preload": 0.25,
    "counterweight": 0.5,
    "launch_rpm": 50.0,
    "tire_pressure": 0.5,
    "shock_clicks": 1.0,
    "wing_hole": 1.0,
}
REACH = {
    "preload": 1.5,
    "counterweight": 2.0,
    "launch_rpm": 300.0,
    "tire_pressure": 2.0,
    "shock_clicks": 2.0,
    "wing_hole": 2.0,
}
"""How far from the present setting a suggestion may go."""
EXTRAS_TYPE = pl.List(pl.Struct({"key": pl.String, "value": pl.Float64}))
NEVER = np.datetime64("2200-01-01", "us")


@dataclass(frozen=True, slots=True)
class State:
    """True state of every run, one entry a run; `event` is -1 where the event is not of the season."""

    preload: Floats
    counterweight: Floats
    launch_rpm: Floats
    tire_pressure: Floats
    shock_clicks: Floats
    wing_hole: Floats
    track_temp: Floats
    air_density: Floats
    wear: Floats
    right: Floats
    venue: Whole
    service: Whole
    hours: Floats
    gap_min: Floats
    tire_runs: Floats
    event: Whole
    since_service: Floats
    headwind: Floats
    driver: Whole

    @property
    def turns_left(self) -> Floats:
        """Turns of preload that are left after wear."""
        return self.preload - self.wear * CAR.threads_per_inch

    @property
    def load_lb(self) -> Floats:
        """Plate load at launch by the true clutch."""
        columns = {COLUMN[name]: getattr(self, name) for name in COLUMN}
        return loads_lb(columns | {"wear_in": self.wear})["plate_load_lb"]

    def changed(self, **values: Floats) -> State:
        """Give the state with some arrays replaced."""
        return replace(self, **values)

    def take(self, rows: Whole | slice) -> State:
        """Give some rows, repeated if their numbers are."""
        return State(*(getattr(self, f.name)[rows] for f in fields(self)))


@dataclass(frozen=True, slots=True)
class Known:
    """What the world knows of its own runs, found again by `run_id` (1, 2, ...) and by event name."""

    track_temp: Floats
    air_density: Floats
    gap_min: Floats
    tire_runs: Floats
    since_service: Floats
    headwind: Floats
    driver: Whole
    events: dict[str, int]
    starts: NDArray[np.datetime64]
    venues: tuple[str, ...]
    gun_degf: Floats
    turns_off: Floats

    def state(self, frame: pl.DataFrame) -> State:
        """Read a frame: what it says is taken as true but for what was read or noted wrong, what it leaves
        out is looked up.

        A row of no known run gets the season's median where a value is missing.
        """
        ids = frame["run_id"].fill_null(0).to_numpy() - 1
        known = (ids >= 0) & (ids < self.track_temp.size)
        at = np.where(known, ids, 0)

        def looked_up(values: Floats) -> Floats:
            return np.where(known, values[at], np.median(values))

        def said(column: str, otherwise: Floats) -> Floats:
            given = frame[column].cast(pl.Float64).fill_null(np.nan).to_numpy()
            return np.where(np.isnan(given), otherwise, given)

        event = np.array([self.events.get(name, -1) for name in frame["event"].to_list()], dtype=np.intp)
        venue = [self.venues.index(name) if name in self.venues else -1 for name in frame["venue"].to_list()]
        blank = np.zeros(len(ids))
        gun = np.where(known, self.gun_degf[at], 0.0)
        settings = {name: said(column, blank) for name, column in COLUMN.items()}
        settings["preload"] = settings["preload"] - np.where(known, self.turns_off[at], 0.0)
        return State(
            *settings.values(),
            *(extra_values(frame, name) for name in EXTRA),
            said("track_temp_degf", looked_up(self.track_temp) + gun) - gun,
            said("air_density_kg_per_m3", looked_up(self.air_density)),
            said("wear_in", blank),
            (frame["lane"].fill_null("left") == "right").to_numpy().astype(float),
            np.array(venue, dtype=np.intp),
            frame["service_no"].fill_null(0).to_numpy().astype(np.intp),
            self._hours(frame, event),
            looked_up(self.gap_min),
            looked_up(self.tire_runs),
            event,
            looked_up(self.since_service),
            looked_up(self.headwind),
            looked_up(self.driver).astype(np.intp),
        )

    def _hours(self, frame: pl.DataFrame, event: Whole) -> Floats:
        """Hours since the first run of the night; of an unknown event, since its first run in the frame."""
        moment = frame["run_at"].to_numpy().astype("datetime64[us]")
        start = self.starts[event]
        began = np.where(moment >= start[:, 1], start[:, 1], start[:, 0])
        if (event < 0).any():
            first = frame.select(pl.col("run_at").min().over("event")).to_series().to_numpy()
            began = np.where(event < 0, first.astype("datetime64[us]"), began)
        out: Floats = (moment - began).astype(np.float64) / 3.6e9
        return out


def extra_values(frame: pl.DataFrame, name: str) -> Floats:
    """Values of one extra adjustment; 0 where it is not there."""
    out = np.zeros(frame.height)
    rows = frame.select(pl.int_range(pl.len()).alias("i"), pl.col("extras")).explode(
        "extras", empty_as_null=True
    )
    found = rows.filter(pl.col("extras").struct.field("key") == name)
    out[found["i"].to_numpy()] = found["extras"].struct.field("value").fill_null(0.0).to_numpy()
    return out


def extras_column(values: Mapping[str, Floats], n: int) -> pl.Series:
    """Make the column of extra adjustments, of the type `runs_frame` gives it."""
    made = pl.DataFrame({name: np.asarray(v, float) for name, v in values.items()})
    entries = [
        pl.concat_list(pl.struct(pl.lit(name).alias("key"), pl.col(name).alias("value"))) for name in values
    ]
    if not entries:
        return pl.Series("extras", [[]] * n, dtype=EXTRAS_TYPE)
    return made.select(pl.concat_list(entries).alias("extras")).to_series()


def with_values(frame: pl.DataFrame, values: Mapping[str, float | Floats], car: Car) -> pl.DataFrame:
    """Give a copy with settings or conditions changed, and the plate loads that follow from them.

    Parameters
    ----------
    values
        By the names of `ADJUSTMENTS` and `CONDITION`; a number for all rows or one a row.
    car
        The car as its owner has recorded it: the plate loads are by its figures.
    """
    n = frame.height
    plain = COLUMN | CONDITION
    new = [
        pl.Series(plain[name], np.broadcast_to(np.asarray(value, float), n), dtype=pl.Float64)
        for name, value in values.items()
        if name in plain
    ]
    out = frame.with_columns(new)
    keys = [entry["key"] for entry in frame["extras"][0]] if n else []
    if values.keys() & set(keys):
        extras = {key: extra_values(frame, key) for key in keys}
        for key in values.keys() & set(keys):
            extras[key] = np.broadcast_to(np.asarray(values[key], float), n)
        out = out.with_columns(extras_column(extras, n))
    needed = {column: out[column].to_numpy() for column in (*COLUMN.values(), "wear_in")}
    return out.with_columns([pl.Series(k, v, dtype=pl.Float64) for k, v in loads_lb(needed, car).items()])


def table_of_runs(
    state: State,
    *,
    events: Sequence[str],
    run_at: Sequence[dt.datetime],
    venues: Sequence[str],
    extras: Sequence[str],
    car: Car,
    t60: Floats,
    t330: Floats,
    outcomes: Sequence[str],
    others: Mapping[str, Sequence[object] | Floats],
    first_id: int = 1,
) -> pl.DataFrame:
    """Make rows of the table of runs; NaN becomes missing."""
    columns: dict[str, object] = {COLUMN[name]: getattr(state, name) for name in COLUMN}
    columns |= {CONDITION[name]: getattr(state, name) for name in CONDITION}
    columns |= {"t60_s": t60.round(3), "t330_s": t330.round(3), "venue": list(venues)}
    columns |= {"service_no": state.service, **others}
    frame = runs_frame(
        columns,  # type: ignore[arg-type]
        events=events,
        run_at=run_at,
        lanes=["right" if right else "left" for right in state.right],
        extras={},
        outcomes=outcomes,
        car=car,
    )
    column = extras_column({name: getattr(state, name) for name in extras}, frame.height)
    return frame.with_columns(
        pl.col("run_id") + (first_id - 1), pl.col(pl.Float64).fill_nan(None), column.alias("extras")
    )


def on_grid(name: str, value: float) -> float:
    """Round to what can be set by hand, within the adjustment's range."""
    low, high = RANGES[name]
    return float(min(max(GRAIN[name] * round(value / GRAIN[name]), low), high))
