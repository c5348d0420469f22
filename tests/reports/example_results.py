"""An invented season for the report tests: plain arithmetic and a seeded generator, no pipeline.

The car, strips, events and numbers are made up. A note and a file name hold what a browser or a
spreadsheet would run if it were not kept as text.
"""

import itertools
from datetime import datetime, timedelta

import numpy as np
import polars as pl

from pipeline.decide import results as d
from pipeline.fleet import results as f
from pipeline.season import check_results as judged
from pipeline.season import results as r
from pipeline.season import whole_run_results as whole
from pipeline.season.season_fit import SeasonFit

CAR = "Marigold"
EVIL_NOTE = 'good leave <script>alert("x")</script> </script><!-- & "quoted"'
FORMULA_NOTE = "=HYPERLINK(0)"
EVENTS = (
    ("Thaw Meet", "Cinder Flats", "2025-04-12", 78.0),
    ("Nettle Spring", "Nettle Creek", "2025-04-26", 84.0),
    ("Long Table", "Cinder Flats", "2025-05-10", 96.0),
    ("Rivermouth Nights", "Rivermouth", "2025-05-31", 108.0),
    ("Dry Grass", "Cinder Flats", "2025-06-14", 118.0),
    ("Half Year", "Nettle Creek", "2025-06-28", 124.0),
    ("Lantern Night", "Rivermouth", "2025-07-19", 112.0),
    ("Stubble Meet", "Cinder Flats", "2025-08-16", 121.0),
    ("Harvest Rounds", "Nettle Creek", "2025-09-06", 99.0),
    ("Last Light", "Cinder Flats", "2025-10-04", 82.0),
)
ROUNDS = (
    "time trial 1",
    "time trial 2",
    "qualifying 1",
    "qualifying 2",
    "round 1",
    "round 2",
    "round 3",
    "semi",
    "final",
    "bye",
    "test 1",
    "test 2",
)
LABELS = {
    "preload": ("preload", "1 turn"),
    "counterweight": ("counterweight", "1 g"),
    "launch_rpm": ("launch rpm", "100 rpm"),
    "tire_pressure": ("tire pressure", "1 psi"),
    "shock_clicks": ("rear shock", "1 click"),
    "track_temp": ("track temperature", "10 degF"),
    "air_density": ("air density", "1 %"),
}


def example_runs(per_event: int = 12, events: tuple = EVENTS) -> pl.DataFrame:
    rng = np.random.default_rng(20250412)
    rows, run_id, height = [], 0, 2.150
    service, since = 1, 0
    for number, (event, venue, day, track) in enumerate(events):
        night = rng.normal(0, 0.005)
        preload, weight, psi = 2.0 + 0.15 * number, 5.0 + 0.35 * number, 11.0 - 0.1 * (number % 3)
        rpm = 6500 - 14 * (track - 80) + rng.normal(0, 80)
        if number == 5:
            height, service, since = 2.151, 2, 0
        for place in range(1, per_event + 1):
            run_id += 1
            since += 1
            height += 0.00028
            at = datetime.fromisoformat(day) + timedelta(hours=10, minutes=37 * (place - 1))
            temp = track + 9 * np.sin(place / per_event * 3.1) + rng.normal(0, 2)
            if place % 4 == 0:
                preload += 0.25 * rng.choice([-1, 1])
                rpm += 100 * rng.choice([-1, 0, 1, 2])
            best = 6450 - 12 * (temp - 90)
            t60 = 1.492 - 0.004 * (preload - 2.5) + 4e-8 * (rpm - best) ** 2 + night + rng.normal(0, 0.008)
            outcome = "clean"
            if rpm - best > 420 and rng.random() < 0.6:
                outcome, t60 = "spun", t60 + 0.045
            elif rpm - best < -330 and rng.random() < 0.5:
                outcome, t60 = "bogged", t60 + 0.05
            lifted = rng.random() < 0.06
            rows.append(
                {
                    "run_id": run_id,
                    "car": CAR,
                    "event": event,
                    "run_at": at,
                    "run_date": at.date(),
                    "venue": venue,
                    "round": ROUNDS[place - 1],
                    "lane": ("left", "right")[place % 2],
                    "run_of_event": place,
                    "reaction_s": 0.06 + rng.normal(0, 0.02),
                    "t60_s": round(t60, 3),
                    "t330_s": round(t60 + 2.61 + rng.normal(0, 0.01), 3),
                    "t660_s": round(t60 + 5.02, 3),
                    "v660_mph": 133.2,
                    "t1000_s": round(t60 + 7.4, 3),
                    "t1320_s": round(t60 + 9.3, 3),
                    "v1320_mph": 164.1,
                    "t60_330_s": 2.61,
                    "t330_660_s": 2.41,
                    "t660_1000_s": 2.4,
                    "t1000_1320_s": 1.9,
                    "launch_rpm": float(round(rpm, -1)),
                    "preload_turns": preload,
                    "preload_spread_turns": 0.0,
                    "counterweight_g": round(weight, 1),
                    "tire_pressure_psi": psi,
                    "extras": [{"key": "shock_clicks", "value": 6.0}],
                    "track_temp_degf": round(float(temp), 0),
                    "track_temp_gap_h": 0.4,
                    "air_temp_degf": round(float(track * 0.5 + 28), 0),
                    "station_pressure_inhg": 28.7,
                    "vapor_pressure_inhg": 0.5,
                    "humidity_pct": 52.0,
                    "weather_gap_h": 0.6,
                    "air_density_kg_per_m3": 1.13,
                    "density_altitude_ft": 2600.0 + 20 * (track - 80),
                    "j607_factor": 1.03,
                    "j1349_factor": 1.02,
                    "headwind_mph": 3.0,
                    "service_no": service,
                    "runs_since_service": since,
                    "ring_height_in": round(height, 5),
                    "wear_in": height - 2.15,
                    "preload_lb": 300 + 50 * preload - 1200 * (height - 2.15),
                    "centrifugal_lb": 700.0,
                    "plate_load_lb": 1000 + 50 * preload - 1200 * (height - 2.15),
                    "outcome": "lifted" if lifted and outcome == "clean" else outcome,
                    "notes": {3: EVIL_NOTE, 7: FORMULA_NOTE}.get(run_id, ""),
                    "use_t60": True,
                    "use_t60_330": not lifted,
                    "use_t330": not lifted,
                    "left_out_reason": "lifted after 60 ft" if lifted else None,
                    "questioned": [],
                    "file": "slips.csv",
                    "sheet": "",
                    "row": run_id + 1,
                }
            )
    frame = pl.DataFrame(rows, infer_schema_length=None) if rows else example_runs(1).clear()
    return frame.with_columns(
        pl.col("questioned").cast(pl.List(pl.String)), pl.col("left_out_reason").cast(pl.String)
    )


def example_questions() -> pl.DataFrame:
    rows = [
        (
            1,
            "slips.csv",
            "",
            44,
            "t60_s",
            "1482",
            "1482 s",
            "a 60 ft of 1482 s has lost its decimal point",
            "1.482",
            "questioned",
        ),
        (
            2,
            "weather.xlsx",
            "June",
            9,
            "pressure",
            "29.92",
            "29.92 inHg",
            "no station at 1,250 ft reads 29.92 inHg; it looks like an altimeter setting",
            "altimeter",
            "questioned",
        ),
        (3, "slips.csv", "", 60, "notes", EVIL_NOTE, "", "test of " + EVIL_NOTE, FORMULA_NOTE, "doubt"),
    ]
    names = (
        "question_id",
        "file",
        "sheet",
        "row",
        "column",
        "value",
        "reading",
        "problem",
        "suggestion",
        "severity",
    )
    return pl.DataFrame(rows, schema=list(names), orient="row")


def example_sheet_counts() -> pl.DataFrame:
    rows = [
        ("slips.csv", "", "timeslips", 122, 120, 2, 0, 1),
        ("weather.xlsx", "June", "weather", 41, 40, 1, 0, 0),
        ("setups.csv", "", "setups", 33, 33, 0, 0, 0),
    ]
    names = ("file", "sheet", "kind", "read", "kept", "questioned", "rejected", "set_aside")
    return pl.DataFrame(rows, schema=list(names), orient="row")


def example_slip_fates(runs: pl.DataFrame) -> pl.DataFrame:
    """Every run kept but the last, and a slip of each kind that became none."""
    rows = [(row["event"], "kept") for row in runs.head(-1).iter_rows(named=True)]
    rows += [("Last Light", "questioned"), ("Last Light", "rejected"), ("Thaw Meet", "set_aside")]
    return pl.DataFrame(rows, schema=["event", "fate"], orient="row")


def effect(response: str, adjustment: str, ms: float | None, half: float, verdict: str, **more) -> r.Effect:
    label, step = LABELS[adjustment]
    per_step = None if ms is None else ms / 1000
    base = {
        "response": response,
        "adjustment": adjustment,
        "label": label,
        "step": step,
        "per_step_s": per_step,
        "low_s": None if ms is None else (ms - half) / 1000,
        "high_s": None if ms is None else (ms + half) / 1000,
        "level": 0.95,
        "verdict": verdict,
        "confounded_with": (),
        "smallest_visible_s": None if ms is None else half * 1.4e-3,
        "runs_used": 118,
        "is_setting": adjustment not in {"track_temp", "air_density"},
        "p_value": 0.01,
        "p_holm": 0.04,
        "joint": None,
        "at_cool": None,
        "at_hot": None,
        "sentence": f"One step of {label} on {response}: {verdict.replace('_', ' ')}.",
    }
    return r.Effect(**(base | more))


def example_effects() -> tuple[r.Effect, ...]:
    joint = r.JointEffect(("preload", "counterweight"), "1 turn and 2 g", -0.0093, -0.0128, -0.0058)
    made: list[r.Effect] = []
    for response, scale in (("t60", 1.0), ("t60_330", 0.6), ("t330", 1.5)):
        made += [
            effect(
                response,
                "preload",
                -3.1 * scale,
                4.4 * scale,
                "inseparable",
                confounded_with=("counterweight",),
                joint=joint,
            ),
            effect(
                response,
                "counterweight",
                -2.6 * scale,
                3.4 * scale,
                "inseparable",
                confounded_with=("preload",),
                joint=joint,
            ),
            effect(
                response,
                "launch_rpm",
                0.6 * scale,
                1.7 * scale,
                "moved",
                at_cool=(-0.0041, -0.0062, -0.002),
                at_hot=(0.0052, 0.0028, 0.0076),
            ),
            effect(response, "tire_pressure", 1.9 * scale, 3.9 * scale, "no_sign"),
            effect(response, "shock_clicks", None, 0.0, "no_sign"),
            effect(response, "track_temp", 3.8 * scale, 1.6 * scale, "moved"),
            effect(response, "air_density", -1.1 * scale, 2.2 * scale, "no_sign"),
        ]
    return tuple(made)


def example_changes() -> tuple[r.SeasonChange, ...]:
    made = []
    for response, start, scale in (("t60", 1.5121, 1.0), ("t330", 4.1442, 1.6)):
        shares = (
            ("preload", "preload", -6.1, 3.0),
            ("counterweight", "counterweight", -4.4, 3.6),
            ("launch_rpm", "launch rpm", -9.2, 2.6),
            ("tire_pressure", "tire pressure", 0.4, 1.2),
            ("track_temp", "track temperature", 2.9, 1.8),
            ("air", "air", 1.3, 1.9),
            ("wear", "clutch wear", 1.8, 2.0),
            ("track", "track", -5.0, 7.5),
        )
        parts = tuple(
            r.ChangePart(
                key, label, ms * scale / 1000, (ms - half) * scale / 1000, (ms + half) * scale / 1000
            )
            for key, label, ms, half in shares
        )
        unexplained = -0.0007 * scale
        total = sum(part.seconds for part in parts) + unexplained
        made.append(
            r.SeasonChange(
                response,
                "first third to last third",
                r.Period("2025-04-12", "2025-05-10", 36, start),
                r.Period("2025-08-16", "2025-10-04", 36, start + total),
                total,
                parts,
                unexplained,
            )
        )
    return tuple(made)


def example_rpm() -> tuple[r.RpmPoint, ...]:
    return tuple(
        r.RpmPoint(
            float(t),
            6450 - 12 * (t - 90),
            6450 - 12 * (t - 90) - 90 - abs(t - 100) * 3,
            6450 - 12 * (t - 90) + 90 + abs(t - 100) * 3,
            75 <= t <= 130,
        )
        for t in range(60, 146, 5)
    )


def example_curves() -> tuple[r.CurvePoint, ...]:
    made = []
    for adjustment, low, high, tried in (
        ("preload", 0.0, 5.0, (1.5, 4.0)),
        ("launch_rpm", 5400.0, 7000.0, (5700.0, 6800.0)),
        ("counterweight", 0.0, 12.0, (4.5, 9.0)),
    ):
        for response in ("t60", "t330"):
            for value in np.linspace(low, high, 41):
                share = (value - low) / (high - low)
                seconds = 0.04 * (share - 0.55) ** 2 - 0.004
                half = 0.002 + 0.02 * abs(share - 0.5) ** 1.5
                made.append(
                    r.CurvePoint(
                        adjustment,
                        response,
                        float(value),
                        float(seconds),
                        float(seconds - half),
                        float(seconds + half),
                        tried[0] <= value <= tried[1],
                    )
                )
    return tuple(made)


def example_checks(runs: pl.DataFrame, rng: np.random.Generator) -> list[judged.RunCheck]:
    checks = []
    for row in runs.iter_rows(named=True):
        for response, column in (("t60", "t60_s"), ("t60_330", "t60_330_s"), ("t330", "t330_s")):
            off = {"spun": 0.041, "bogged": 0.048}.get(row["outcome"], rng.normal(0, 0.008))
            expected = row[column] - off
            flagged = abs(off) > 0.027
            checks.append(
                judged.RunCheck(
                    response,
                    row["run_id"],
                    row[column],
                    expected,
                    expected - 0.022,
                    expected + 0.022,
                    off / 0.009,
                    0.2 if flagged else 0.95,
                    flagged,
                    f"{row['outcome']}: launch rpm high for the track" if flagged else "",
                )
            )
    return checks


def example_residuals(runs: pl.DataFrame, rng: np.random.Generator) -> list[judged.PartialResidual]:
    residuals = []
    for row in runs.iter_rows(named=True):
        for adjustment, column in (
            ("preload", "preload_turns"),
            ("launch_rpm", "launch_rpm"),
            ("counterweight", "counterweight_g"),
        ):
            for response in ("t60", "t330"):
                residuals.append(
                    judged.PartialResidual(
                        adjustment, response, row["run_id"], row[column], rng.normal(0, 0.009), 0.9
                    )
                )
    return residuals


def example_nights(runs: pl.DataFrame, rng: np.random.Generator) -> list[judged.NightCheck]:
    nights = []
    for event, _venue, day, _track in EVENTS:
        mine = runs.filter(pl.col("event") == event)
        if mine.is_empty():
            continue
        for response, column in (("t60", "t60_s"), ("t60_330", "t60_330_s"), ("t330", "t330_s")):
            night = rng.normal(0, 0.005)
            typical = float(mine[column].median())
            nights.append(
                judged.NightCheck(
                    response,
                    event,
                    day,
                    mine.height,
                    float(mine[column].min()),
                    typical,
                    typical - night,
                    typical - night - 0.011,
                    typical - night + 0.011,
                    night,
                    night - 0.006,
                    night + 0.006,
                    0.006,
                    0.009,
                    f"{event} was about as usual.",
                )
            )
    return nights


def example_pairs(runs: pl.DataFrame) -> list[judged.BeforeAfter]:
    pairs = []
    for event, *_ in EVENTS:
        mine = runs.filter(pl.col("event") == event)
        for first in (3, 7):
            if mine.height > first:
                before, after = mine.row(first - 1, named=True), mine.row(first, named=True)
                if before["preload_turns"] != after["preload_turns"]:
                    change = after["preload_turns"] - before["preload_turns"]
                    pairs.append(
                        judged.BeforeAfter(
                            "preload",
                            "t60",
                            event,
                            before["run_id"],
                            after["run_id"],
                            before["preload_turns"],
                            after["preload_turns"],
                            after["t60_s"] - before["t60_s"],
                            after["t60_s"] - before["t60_s"] - 0.002,
                            -0.004 * change,
                            ("launch_rpm",),
                        )
                    )
    return pairs


def example_fit(runs: pl.DataFrame | None = None) -> SeasonFit:
    runs = example_runs() if runs is None else runs
    rng = np.random.default_rng(7)
    checks = example_checks(runs, rng)
    residuals = example_residuals(runs, rng)
    nights = example_nights(runs, rng)
    pairs = example_pairs(runs)
    facts = tuple(
        r.ModelFacts(
            response, 118, 10, 0.0091, 0.0058, 0.0012, True, (), ("Four runs were given little weight.",)
        )
        for response in ("t60", "t60_330", "t330")
    )
    cross = tuple(
        judged.CrossCheckRow(
            "t60",
            name,
            ms / 1000,
            (ms - 3) / 1000,
            (ms + 3) / 1000,
            (ms + 0.4) / 1000,
            (ms - 4) / 1000,
            (ms + 4.6) / 1000,
            2.4,
            True,
            "Both say the same.",
        )
        for name, ms in (("preload", -3.1), ("counterweight", -2.6), ("launch_rpm", 0.6))
    )
    return SeasonFit(
        CAR,
        facts,
        example_effects(),
        example_changes(),
        example_rpm(),
        example_curves(),
        tuple(residuals),
        tuple(pairs),
        tuple(checks),
        tuple(nights),
        tuple(judged.HeldOutCheck(name, 10, 118, 0.91, 0.956, 0.0125, 0.0188) for name in ("t60", "t330")),
        cross,
        (
            judged.Sensitivity("t60", "launch_rpm", 0.0006, -0.0004, 9),
            judged.Sensitivity("t60", "preload", -0.0031, -0.0029, 9),
        ),
        ("Launch rpm moved it.",),
        spread=example_spread(),
        launch_chances=example_launch_chances(),
        event_changes=example_event_changes(runs),
        air_effects=example_air_effects(),
        air_times=example_air_times(runs),
        dial_in=tuple(
            whole.DialIn(
                split, air, 2500.0 - 300 * air, 6.5 - 0.02 * air, 6.45 - 0.02 * air, 6.55 - 0.02 * air, 90, 10
            )
            for split in ("t660", "t1320")
            for air in (-4.0, 0.0, 4.0)
        ),
        split_spreads=tuple(
            whole.SplitSpread(split, event, day, 12, 0.012)
            for event, _venue, day, _track in EVENTS
            for split in ("reaction", "t60", "t330")
        ),
        spread_causes=tuple(
            whole.SpreadCause(response, cause, label, size, share)
            for response in ("t60", "t330")
            for cause, label, size, share in (
                ("settings", "what you set", 0.012, 0.6),
                ("unknown", "driver and luck: what no one wrote down", 0.009, 0.34),
                ("air_density", "air density", 0.004, 0.06),
            )
        ),
    )


def example_spread() -> tuple[r.Spread, ...]:
    made = (
        ("launch_rpm", 0.012, ()),
        ("preload", 0.006, ("air_density",)),
        ("air_density", 0.005, ("preload",)),
    )
    return tuple(
        r.Spread(
            response,
            name,
            LABELS[name][0],
            name != "air_density",
            size,
            size - 0.003,
            size + 0.004,
            rank,
            tied,
        )
        for response in ("t60", "t330")
        for rank, (name, size, tied) in enumerate(made, 1)
    )


def example_air_effects() -> tuple[whole.AirEffect, ...]:
    return tuple(
        whole.AirEffect(split, -size, -1.3 * size, -0.7 * size, -0.6 * size, 90, 10)
        for split, size in (("t60", 0.007), ("t330", 0.02), ("t660", 0.028), ("t1320", 0.042))
    )


def example_air_times(runs: pl.DataFrame) -> tuple[whole.AirTime, ...]:
    made = []
    for one in example_air_effects():
        for place, (event, _venue, day, _track) in enumerate(EVENTS):
            some = runs.filter(pl.col("event") == event)
            if some.is_empty() or one.own_s is None:
                continue
            time, air = float(some[f"{one.split}_s"].median()), float(place % 5) - 2
            made.append(
                whole.AirTime(
                    one.split, event, day, some.height, air, 2500.0 - 300 * air, time, time - one.own_s * air,
                    time + 0.3 * air * one.own_s,
                )
            )  # fmt: skip
    return tuple(made)


def example_launch_chances() -> tuple[r.LaunchChance, ...]:
    return tuple(
        r.LaunchChance(temp, rpm, min(0.9, max(0.01, (rpm - 6200) / 1500)), 0.02)
        for temp in (75.0, 95.0, 115.0)
        for rpm in (6000.0, 6200.0, 6400.0, 6600.0)
    )


def example_event_changes(runs: pl.DataFrame) -> tuple[whole.EventChange, ...]:
    """From each event to the next: preload gave a little, the air took more."""
    events = runs["event"].unique(maintain_order=True).to_list()
    made = []
    for before, event in itertools.pairwise(events):
        sides = []
        for name in (before, event):
            some = runs.filter(pl.col("event") == name)
            day = str(some["run_date"].min())
            sides.append(r.Period(day, day, some.height, float(some["t60_s"].mean())))
        parts = (
            r.ChangePart("preload", "preload", -0.006, -0.010, -0.002),
            r.ChangePart("air_density", "air density", 0.009, 0.005, 0.013),
            r.ChangePart("track", "the track itself, event by event", -0.001, -0.012, 0.010),
        )
        total = sides[1].mean_s - sides[0].mean_s
        left = total - sum(part.seconds for part in parts)
        change = r.SeasonChange("t60", f"{before} to {event}", *sides, total, parts, left)
        together = r.ChangePart("settings", "the settings together", -0.006, -0.010, -0.002)
        made.append(whole.EventChange(before, event, change, together, 0.0058))
    return tuple(made)


def empty_fit() -> SeasonFit:
    return SeasonFit(CAR, *(() for _ in range(12)))


def example_forecast() -> d.Forecast:
    return d.Forecast(
        "Cinder Flats", 95.0, 84.0, 28.62, 55.0, 1.12, 2900.0, ("not given: humidity 55 %, from October 4",)
    )


def example_next(*, stay: bool = False) -> d.NextSetting:
    now = d.SettingChoice(
        {"preload": 3.5, "counterweight": 8.2, "launch_rpm": 6200.0, "tire_pressure": 11.0},
        1.4975,
        1.471,
        1.524,
    )
    then = d.SettingChoice(
        {"preload": 3.5, "counterweight": 8.2, "launch_rpm": 6400.0, "tire_pressure": 11.0},
        1.4882,
        1.462,
        1.515,
    )
    return d.NextSetting(
        "t60",
        example_forecast(),
        now,
        None if stay else then,
        0.0 if stay else -0.0093,
        -0.0151,
        -0.0035,
        None if stay else 0.971,
        ("300 rpm from the present setting is as far as a suggestion goes",),
        (
            "no tire_pressure_limits in garage.toml, so nothing is suggested for tire pressure; "
            "add the line to the car",
        ),
        False,
        "Stay put." if stay else "Raise launch rpm by 200 for a 95 °F track; leave the clutch alone.",
    )


def example_plan() -> d.TestPlan:
    runs = tuple(
        d.PlannedRun(
            order,
            1 + (order - 1) // 3,
            {
                "preload": 3.0 + 0.5 * ((order - 1) // 3),
                "counterweight": 8.2 - ((order - 1) // 3),
                "launch_rpm": 6100.0 + 200 * (order % 3),
            },
            "splits preload from counterweight" if order % 3 == 1 else "shows how rpm bends at this load",
        )
        for order in range(1, 9)
    )
    precision = (
        d.ExpectedPrecision("preload", "1 turn", 0.0022, 0.0014),
        d.ExpectedPrecision("counterweight", "1 g", 0.0017, 0.0012),
        d.ExpectedPrecision("launch_rpm", "100 rpm", 0.0009, 0.0006),
    )
    return d.TestPlan(
        "t60",
        runs,
        precision,
        ("preload stays between 0 and 5 turns",),
        (),
        "Eight runs in three clutch settings would cut what is unknown about preload by a third.",
    )


LOADS_THAT_HOLD = d.LoadsThatHold(560.0, 5200.0, 3250.0, 4300.0)


def example_clutch_checks() -> pl.DataFrame:
    """Clutch checks of the example season: the clearance set once anew."""
    days = [datetime(2025, month, 12, 9) for month in range(4, 10)]
    return pl.DataFrame(
        {
            "checked_at": days,
            "entry_order": list(range(6)),
            "runs_made": [0, 20, 44, 60, 81, 104],
            "bearing_clearance_in": [0.150, 0.138, None, 0.126, 0.150, 0.141],
        }
    )


def example_wear() -> r.Wear:
    services = (
        r.WearService(1, "2025-04-12", "2025-06-14", 60, 2.150, 2.1668, 0.00028, 0.015),
        r.WearService(2, "2025-06-28", "2025-10-04", 60, 2.151, 2.1678, 0.00028, None),
    )
    return r.Wear(
        2.1678,
        0.00028,
        0.00022,
        0.00034,
        20.2,
        11.4,
        0.015,
        (0.005, 0.010),
        services,
        "The ring has grown 0.017 in since service 2, which cost 20 lb of preload; about 11 runs are left.",
    )


def example_fleet(*, thin: bool = False) -> f.FleetFit:
    kind = "ten-spring single disc"
    if thin:
        return f.FleetFit("t60", (), (), (), (), (), (), (), ())
    effects, cars = [], []
    for name, mean, spread in (
        ("preload", -4.1, 2.6),
        ("counterweight", -2.8, 1.9),
        ("launch_rpm", 0.7, 1.1),
    ):
        label, step = LABELS[name]
        effects.append(
            f.FleetEffect(
                kind,
                "t60",
                name,
                label,
                step,
                mean / 1000,
                (mean - 0.9) / 1000,
                (mean + 0.9) / 1000,
                spread / 1000,
                41,
            )
        )
        cars.append(
            f.CarEffect(
                kind,
                "t60",
                CAR,
                10,
                name,
                label,
                step,
                (mean - 3) / 1000,
                (mean - 9) / 1000,
                (mean + 3) / 1000,
                (mean - 0.6) / 1000,
                (mean - 3.4) / 1000,
                (mean + 2.2) / 1000,
                0.06,
            )
        )
    odd = f.OddCar(
        kind,
        "t60",
        "Thistle",
        88,
        "preload",
        "preload",
        "1 turn",
        0.0061,
        0.0048,
        -0.0041,
        3.9,
        0.97,
        f"Thistle gets slower with preload where its kind gets quicker {EVIL_NOTE}.",
    )
    return f.FleetFit(
        "t60",
        (
            f.FleetGroup(
                kind, "t60", 43, 3120, 310, 41, 0.0093, 0.0061, "41 of 43 cars teach what to expect."
            ),
        ),
        (),
        tuple(effects),
        (odd,),
        (f.TypingTrouble("Larkspur", 310, 41, 0.13, 0.03, "Larkspur: 41 of 310 entries are doubtful."),),
        (f.ServiceDue("Burdock", 0.021, 0.020, 0.0, "Burdock is past its service growth."),),
        tuple(cars),
        ("A new car with ten runs borrows from 41 others.",),
    )
