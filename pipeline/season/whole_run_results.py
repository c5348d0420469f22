"""What is said of whole runs, past the times that are fitted, as frozen records. See ``results.py``."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.season.results import ChangePart, Response, SeasonChange, Split


@dataclass(frozen=True, slots=True)
class AirEffect:
    """What 1 % more air density did to one split: by this car's own runs, and by the published correction.

    ``own_s`` is None with too few events to tell. ``runs`` and ``events`` are those it rests on.
    """

    split: Split
    own_s: float | None
    low_s: float | None
    high_s: float | None
    published_s: float | None
    runs: int
    events: int


@dataclass(frozen=True, slots=True)
class AirTime:
    """One event's typical time of one split: as run, and in the season's middle air in both ways.

    ``air_pct`` is by how much its air was denser than that; clean launches and whole passes only.
    """

    split: Split
    event: str
    date: str
    runs: int
    air_pct: float
    density_altitude_ft: float | None
    as_run_s: float
    own_s: float | None
    published_s: float | None


@dataclass(frozen=True, slots=True)
class SplitSpread:
    """How far the runs of one event strayed from each other, one split: robust sd, in seconds.

    ``split`` is one of ``SPLITS`` or ``reaction``.
    """

    split: str
    event: str
    date: str
    runs: int
    sd_s: float


@dataclass(frozen=True, slots=True)
class SpreadCause:
    """How much of the straying inside events one cause made: sd of its part, and its share of the squares."""

    response: Response
    cause: str
    label: str
    seconds: float
    share: float


@dataclass(frozen=True, slots=True)
class DialIn:
    """Expected time of one clean pass in given air, settings as run, with the interval of one run."""

    split: Split
    air_pct: float
    density_altitude_ft: float
    expected_s: float
    low_s: float
    high_s: float
    runs: int
    events: int


@dataclass(frozen=True, slots=True)
class EventChange:
    """From one event to the next: the change of the mean time part by part, and what the settings gave of it.

    ``settings`` is what all settings that differ were expected to do together, None when none differs.
    ``tau_s`` is the sd of whole nights, by which two nights differ with nothing changed.
    """

    event_before: str
    event: str
    change: SeasonChange
    settings: ChangePart | None
    tau_s: float
