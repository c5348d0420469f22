"""A small logbook typed as a person would, to which a test adds the entry it is about."""

import datetime as dt
import random
from pathlib import Path

from pipeline import stages
from pipeline.workspace import ForecastAsked, Workspace

RUNS, EVENTS = 24, 4
FIRST_DAY = dt.date(2031, 4, 5)
LAST_DAY = FIRST_DAY + dt.timedelta(days=14 * (EVENTS - 1))
CLUTCH = {
    "name": '"eight"',
    "screws": "8",
    "base_load": '"500 lb"',
    "least_base_load": '"520 lb"',
    "spring_rate": '"160 lb/in"',
    "threads_per_inch": "20",
    "safe_turns": "6",
    "counterweight_limits": '["0 g", "20 g"]',
    "service_growth": '"0.030 in"',
    "bearing_clearance": '"0.200 in"',
}
TORQUE = {
    "levers": "4",
    "lever_mass": '"30 g"',
    "lever_radius": '"4 in"',
    "lever_ratio": "1",
    "friction": "[0.30, 0.40]",
    "friction_faces": "2",
    "outer_diameter": '"11 in"',
    "inner_diameter": '"7 in"',
}


def garage(engine_lb_ft: float | None = None, **clutch: str | None) -> str:
    described = CLUTCH | (TORQUE if engine_lb_ft else {}) | clutch
    lines = [f"{key} = {value}" for key, value in described.items() if value is not None]
    peak = f"engine_torque = [[4000, {engine_lb_ft - 50}], [5000, {engine_lb_ft}]]" if engine_lb_ft else ""
    car = ["[[car]]", 'name = "Marigold"', 'clutch = "eight"', "launch_rpm_limits = [4500, 7000]", peak]
    return "\n".join([*car, "[[clutch]]", *lines, "[[venue]]", 'name = "Cinder Flats"', ""])


def write_season(root: Path, described: str, **more: str) -> Workspace:
    """Write the logbook, with ``more`` rows at the end of a sheet: ``setups="2031-05-18,Marigold,45,,"``."""
    luck = random.Random(3)
    slips, track = ["date,time,car,venue,60 ft,330 ft"], ["date,time,venue,track temp"]
    setups = ["date,time,car,preload turns,counterweight,launch rpm"]
    checks = ["date,time,car,ring height,shim removed,bearing clearance"]
    made = 0
    for event in range(EVENTS):
        day = FIRST_DAY + dt.timedelta(days=14 * event)
        checks.append(f"{day},08:00,Marigold,{2.1 + 0.0003 * made:.4f},,0.200")
        for run in range(RUNS // EVENTS):
            turns, rpm = luck.choice((3.0, 3.5, 4.0, 4.5)), luck.choice((5600, 5800, 6000, 6200))
            if (event, run) == (EVENTS - 1, RUNS // EVENTS - 1):
                turns, rpm = 3.5, 6000
            temp = luck.randint(80, 110)
            t60 = 1.43 - 0.02 * (turns - 3.5) + 1e-7 * (rpm - 5900) ** 2 + luck.gauss(0, 0.004)
            setups.append(
                f"{day},{9 + run}:10,Marigold,{turns},{luck.choice((6, 7, 8)) if run < 5 else 7},{rpm}"
            )
            slips.append(f"{day},{9 + run}:30,Marigold,Cinder Flats,{t60:.3f},{t60 + 2.5:.3f}")
            track.append(f"{day},{9 + run}:25,Cinder Flats,{temp}")
            made += 1
    sheets = {"setups": setups, "slips": slips, "track": track, "checks": checks}
    root.mkdir(parents=True)
    (root / "garage.toml").write_text(described, encoding="utf-8")
    for name, lines in sheets.items():
        text = "\n".join([*lines, *filter(None, [more.get(name)]), ""])
        (root / f"{name}.csv").write_text(text, encoding="utf-8")
    return Workspace.of(root, store=None, out=None)


def ask_next(space: Workspace, **options: bool):
    """Ask for the next setting on a track of 95 degF."""
    asked = ForecastAsked(track_temp="95 F")
    return stages.next_setting(space, asked, quick_only=options.get("quick_only", False), car=None)
