"""Make the invented logbook again, byte for byte: ``python -m sample_timeslips.make_season [--out DIR]``."""

from __future__ import annotations

import argparse
from pathlib import Path

from sample_timeslips import mess, planted_truth, season_plan, sheets
from sample_timeslips.season_plan import Season
from sample_timeslips.sheets import Cells, Typed

HERE = Path(__file__).parent
GARAGE = """\
# The invented season's car, clutch and strips. Nobody's real car: see ../README.md.

[[car]]
name = "Marigold"
also = ["Mari Gold"]
weight = "2700 lb"
clutch = "eight-screw"
launch_rpm_limits = [5000, 7800]
engine_rpm_limit = 9000
shift_rpm = 8600
tire_pressure_limits = ["8 psi", "14 psi"]
engine_torque = [[4500, 475], [5500, 500], [6500, 515], [7500, 520], [8500, 515]]   # rpm, lb-ft

[[clutch]]
name = "eight-screw"
type = "eight-screw single disc"
screws = 8
springs = 16                             # two under each screw, one inside the other
base_load = "240 lb"
least_base_load = "240 lb"
spring_rate = "160 lb/in"                # of one spring
threads_per_inch = 16
load_per_turn = "20 lb"                  # one turn of one screw, both its springs
safe_turns = 4
reach_turns = 6
levers = 4
lever_mass = "27 g"
lever_radius = "3 in"
lever_ratio = 1.4
counterweight_limits = ["0 g", "12 g"]
friction = [0.32, 0.36]
friction_faces = 2
outer_diameter = "10 in"
inner_diameter = "6 in"
ring_height_new = "2.200 in"
service_growth = "0.030 in"
growth_effect = "less load"
bearing_clearance = "0.20 in"
shims = ["0.003 in", "0.006 in", "0.009 in", "0.012 in"]
counterweight_hardware = { "steel nut" = "3.6 g", "steel bolt 1/2 in" = "4.7 g", "alloy nut" = "1.2 g" }

[[venue]]
name = "Cinder Flats"
also = ["Cinder"]
elevation = "1250 ft"
length = "1/4 mile"

[[venue]]
name = "Harrow Lane"
elevation = "300 ft"
length = "1/8 mile"

[[venue]]
name = "Lantern Mesa"
elevation = "2900 ft"
length = "1/4 mile"

[[adjustment]]
name = "shock_clicks"
label = "rear shock"
also = ["rear shock", "shock"]
unit = "click"
step = 1
limits = [0, 12]
quick = true

[headings]
"arm weight" = "counterweight_g"
"left at" = "launch_rpm"
"""
FILES = {
    "slips_spring": "slips spring.csv",
    "slips_late": "slips late season.csv",
    "weather": "weather.csv",
    "track": "track temps.csv",
}
WORKBOOK = "clutch book.xlsx"


def pages(season: Season) -> tuple[dict[str, Cells], list[Typed]]:
    """Write a ruined season's sheets, then type the doubtful entries over them."""
    made = {
        "slips_spring": sheets.slips_spring(season),
        "slips_late": sheets.slips_late(season),
        "weather": sheets.weather(season),
        "track": sheets.track(season),
        "setups": sheets.setups(season),
        "checks": sheets.checks(season),
    }
    return made, sheets.apply(mess.doubts(season), made)


def write_logbook(out: Path) -> list[Typed]:
    """Write garage.toml and all sheets into a folder; give the doubtful entries."""
    season = season_plan.make()
    mess.ruin(season)
    made, typed = pages(season)
    out.mkdir(parents=True, exist_ok=True)
    (out / "garage.toml").write_bytes(GARAGE.encode())
    for key, name in FILES.items():
        (out / name).write_bytes(sheets.as_csv(made[key]))
    sheets.write_workbook(out / WORKBOOK, {"Setups": made["setups"], "Checks": made["checks"]})
    return typed


def main() -> None:
    """Write the logbook; into its own folder, with the README beside it, unless told otherwise."""
    parser = argparse.ArgumentParser(description="Make the invented season's logbook again.")
    parser.add_argument("--out", type=Path, help="write the logbook here, and no README")
    out = parser.parse_args().out
    typed = write_logbook(out or HERE / "logbook")
    if out is None:
        (HERE / "README.md").write_bytes(planted_truth.readme(season_plan.make(), typed).encode())


if __name__ == "__main__":
    main()
