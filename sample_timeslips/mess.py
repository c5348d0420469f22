"""The trade's usual mess, planted where we know it: ruined runs, and entries as a tired person types them.

`ruin` changes what happened; `DOUBTS` changes only what was written down. Each doubt names the sheet,
the run or reading it is in and what was meant, so that the README can list them all.
"""

from __future__ import annotations

from dataclasses import dataclass

from sample_timeslips.season_plan import Run, Season


@dataclass(frozen=True, slots=True)
class Doubt:
    """One entry written wrongly.

    Attributes
    ----------
    sheet
        Name of the sheet in `sheets`.
    entry
        Which of the sheet's entries, counted from 0 in true order; the next one that holds the column.
    column
        Key of the column in `sheets`.
    kind
        What went wrong, in words.
    typed
        What stands on the sheet.
    """

    sheet: str
    entry: int
    column: str
    kind: str
    typed: str


def swap_decimal(seconds: float) -> str:
    """Write a time without its decimal point."""
    return f"{round(seconds * 1000):d}"


def swap_digits(seconds: float) -> str:
    """Write a time with the first two decimals changed round."""
    text = f"{seconds:.3f}"
    return text[:2] + text[3] + text[2] + text[4:]


# run number of the season (from 0) -> how it went, what was written beside it
RUINED: dict[int, tuple[str, str]] = {
    9: ("missed shift", "missed 2nd, shaft hung up"),
    23: ("lifted", "lifted at the eighth, nothing to prove"),
    38: ("missed shift", "missed third"),
    52: ("aborted", "aborted, lifted right after 60'. oil on the right lane,\ncrew chief waved it off"),
    64: ("red light", "red, went on the first amber"),
    77: ("missed shift", "missed 2nd gear"),
    91: ("lifted", "lifted at 1000, safe win"),
    104: ("red light", "red by a hair, still a good launch"),
    118: ("broke", "broke a rocker past 330, coasted"),
    133: ("lifted", "lifted at 1000 ft"),
    147: ("red light", "red"),
    154: ("missed shift", "missed 3rd, driver's fault"),
}
REMARKS: dict[int, str] = {
    3: "good burnout",
    12: "sun behind a cloud, track felt better",
    17: 'guy said "try less tire", did not',
    30: "new plugs, same jets",
    41: "left lane smoother",
    58: "wind picking up,\ngusts from the left",
    70: "hot, hazy, air like soup",
    86: "first pass after the clutch service",
    99: "same as last, on purpose",
    112: "long wait in the lanes, 40 min",
    125: "borrowed stagger cable, ignore RT",
    140: "best yet?",
    158: "last one of the year, cold tires",
}


def ruin(season: Season) -> None:
    """Change the runs that went wrong: later splits are lost or slow, the launch itself stands."""
    for number, (outcome, note) in RUINED.items():
        run = season.runs[number]
        run.outcome, run.notes = outcome, note
        if outcome == "red light":
            run.reaction_s = -0.004 - 0.003 * (number % 7)
        elif outcome == "missed shift":
            _slower_after(run, "t330_s", 0.42)
        elif outcome == "lifted":
            _lift(run, "t660_s" if "eighth" in note else "t1000_s")
        elif outcome in {"aborted", "broke"}:
            _stop_after(run, "t60_s" if outcome == "aborted" else "t330_s")
    for number, remark in REMARKS.items():
        run = season.runs[number]
        run.notes = f"{remark}; {run.outcome}" if run.outcome else remark


_ORDER = ("t60_s", "t330_s", "t660_s", "v660_mph", "t1000_s", "t1320_s", "v1320_mph")


def _slower_after(run: Run, first: str, by_s: float) -> None:
    """Lose time from one split on, and some speed at the end."""
    for name in _ORDER[_ORDER.index(first) :]:
        run.times[name] += by_s if name.endswith("_s") else -2.5


def _lift(run: Run, last_good: str) -> None:
    """Roll out after a split: later times longer, later speeds much lower."""
    for name in _ORDER[_ORDER.index(last_good) + 1 :]:
        if name.endswith("_s"):
            run.times[name] += 0.35
        elif name == "v1320_mph" or last_good == "t330_s":
            run.times[name] -= 31.0


def _stop_after(run: Run, last: str) -> None:
    """Leave the later splits off the slip: nobody waits for a car that coasts."""
    for name in _ORDER[_ORDER.index(last) + 1 :]:
        run.times[name] = float("nan")


def doubts(season: Season) -> tuple[Doubt, ...]:
    """Give the wrongly written entries, about three in a hundred."""
    runs = season.runs
    return (
        Doubt("slips_spring", 6, "t60_s", "decimal point missing", swap_decimal(runs[6].times["t60_s"])),
        Doubt("slips_spring", 27, "t60_s", "digits swapped", swap_digits(runs[27].times["t60_s"])),
        Doubt("slips_spring", 35, "venue", "strip spelled another way", "Cinder Flat"),
        Doubt("slips_spring", 46, "t660_s", "time and speed swapped", f"{runs[46].times['v660_mph']:.2f}"),
        Doubt("slips_spring", 46, "v660_mph", "time and speed swapped", f"{runs[46].times['t660_s']:.3f}"),
        Doubt("slips_spring", 55, "t330_s", "comma for the decimal point", _comma(runs[55].times["t330_s"])),
        Doubt("slips_spring", 67, "time", "am for pm", runs[67].at.strftime("%I:%M AM").lstrip("0")),
        Doubt("slips_late", 98 - 87, "car", "car spelled another way", "Marygold"),
        Doubt("slips_late", 109 - 87, "t330_s", "wrong digit", f"{runs[109].times['t330_s'] + 1.0:.3f}"),
        Doubt("slips_late", 128 - 87, "date", "wrong year", _month_first(runs[128], year=2024)),
        Doubt("slips_late", 142 - 87, "launch_rpm", "digit too many", f"{runs[142].launch_rpm:.0f}0"),
        Doubt("weather", 5, "humidity_pct", "humidity as a fraction", ""),
        Doubt("weather", 24, "station_inhg", "altimeter setting for station pressure", ""),
        Doubt("weather", 38, "temp_degf", "degC where degF is the custom", ""),
        Doubt("track", 37, "track_temp_degf", "below the air on a sunny noon", ""),
        Doubt("setups", 16, "preload_turns", "decimal point missing", ""),
        Doubt("checks", 3, "ring_height_in", "ring height going down without a service", "2.185"),
    )


def _comma(seconds: float) -> str:
    return f"{seconds:.3f}".replace(".", ",")


def _month_first(run: Run, year: int) -> str:
    return f"{run.at.month}/{run.at.day}/{year}"
