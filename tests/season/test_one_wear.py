"""One wear: what the runs carry, the sentence and the card say are the same growth and the same load."""

from __future__ import annotations

import random
from datetime import datetime, timedelta

import polars as pl
import pytest

from pipeline.decide.bench import clutch_unit
from pipeline.garage.parts import Clutch
from pipeline.physics.bench_card import bench_card
from pipeline.physics.bench_records import BenchSetting, WearNow
from pipeline.physics.wear import growth_per_run
from pipeline.season.car_data import _wear_now, rows_of_car
from pipeline.season.in_force import present_settings
from pipeline.store.build_runs import build_runs
from tests.queries.given import store

FEW, MANY = 200, 2_000
START = datetime(2031, 4, 1, 12)
SAME_LB = 1e-6


def history(car: str, luck: random.Random) -> dict[str, list[dict[str, object]]]:
    """Draw runs, setups, checks and services of one car in random order of time."""
    rows: dict[str, list[dict[str, object]]] = {"timeslips": [], "setups": [], "checks": []}
    height, made = 2.1, 0
    setups_from = luck.choice((0, 0, 3))
    for entry in range(luck.randint(3, 30)):
        at = START + timedelta(hours=entry // luck.choice((1, 1, 2)))
        what = luck.choices(("run", "set", "check", "service"), (10, 2, 3, 1))[0]
        if what == "run":
            slip = {"car": car, "run_at": at, "launch_rpm": 6000.0}
            rows["timeslips"].append(slip | ({"preload_turns": 2.5} if luck.random() < 0.1 else {}))
            made += 1
            height += luck.choice((0.0, 0.0002, 0.0005, 0.004))
        elif what == "set" and entry >= setups_from:
            rows["setups"].append({"car": car, "set_at": at, "preload_turns": luck.choice((0.5, 2.0, 3.5))})
        elif what == "check":
            read = None if luck.random() < 0.1 else round(height + luck.gauss(0, 0.0005), 4)
            rows["checks"].append({"car": car, "checked_at": at, "ring_height_in": read})
        elif what == "service":
            shim = luck.choice((0.005, 0.010))
            height -= shim
            read = None if luck.random() < 0.2 else round(height, 4)
            rows["checks"].append(
                {"car": car, "checked_at": at, "ring_height_in": read, "shim_removed_in": shim}
            )
    if not rows["timeslips"]:
        rows["timeslips"].append({"car": car, "run_at": START + timedelta(days=9), "launch_rpm": 6000.0})
    return rows


def clutch_of(car: str, luck: random.Random) -> Clutch:
    return Clutch.model_validate(
        {
            "name": car,
            "screws": luck.choice((4, 8)),
            "springs": luck.choice((4, 8, 12)),
            "base_load": luck.choice((20.0, 400.0)),
            "spring_rate": luck.choice((90.0, 310.0)),
            "load_per_turn": luck.choice((3.0, 9.0)),
            "service_growth": 0.04,
            "growth_effect": luck.choice(("less load", "less load", "more load")),
        }
    )


def garage_rows(clutches: dict[str, Clutch]) -> dict[str, list[dict[str, object]]]:
    return {
        "cars": [{"car": car, "clutch": car} for car in clutches],
        "clutches": [
            {
                "clutch": car,
                "screws": clutch.screws,
                "springs": clutch.springs,
                "base_load_lb": clutch.base_load_lb,
                "spring_rate_lb_per_in": clutch.spring_rate_lb_per_in,
                "load_per_turn_lb": clutch.load_per_turn_lb,
                "growth_effect": clutch.growth_effect,
            }
            for car, clutch in clutches.items()
        ],
        "venues": [],
        "adjustments": [],
    }


def check_histories(count: int) -> None:
    """Put ``count`` histories into one store as so many cars, each once more with a run at its very end."""
    clutches, sheets = {}, {"timeslips": [], "setups": [], "checks": []}
    for number in range(count):
        clutch = clutch_of("any", random.Random(number))
        for car in (f"car{number}", f"car{number} once more"):
            clutches[car] = clutch
            drawn = history(car, random.Random(number))
            if car.endswith("more"):
                drawn["timeslips"].append(
                    {"car": car, "run_at": START + timedelta(days=99), "launch_rpm": 6000.0}
                )
            for sheet, rows in drawn.items():
                sheets[sheet] += rows
    con = store(garage_rows(clutches) | {"clutches": [], "cars": []})
    for table, rows in (sheets | garage_rows(clutches)).items():
        keys = {"timeslips": "slip_id", "setups": "setup_id", "checks": "check_id"}
        numbered = [
            row | ({keys[table]: number, "row": number, "entry_order": number} if table in keys else {})
            for number, row in enumerate(rows, 1)
        ]
        if numbered:
            con.register("incoming", pl.DataFrame(numbered, infer_schema_length=None))
            con.execute(f"insert into {table} by name select * from incoming")
    con.begin()
    build_runs(con)
    con.commit()
    judged = sum(check_car(con, f"car{number}", clutches[f"car{number}"]) for number in range(count))
    assert judged > count / 3


def check_car(con, car: str, clutch: Clutch) -> bool:
    """Hold one car's card, sentence and runs together; True when there was wear to judge."""
    runs, setups = rows_of_car(con, "runs", car), rows_of_car(con, "setups", car)
    wear = _wear_now(con, car, runs, setups, clutch)
    turns = present_settings(runs, setups).get("preload")
    if turns is None:
        return False
    card = bench_card(
        clutch_unit(clutch),
        BenchSetting((turns,), 6.0, 6000.0),
        WearNow(grown_since_set_in=wear.grown_since_set_in or 0.0),
    )
    lost = card.preload_when_set_lb - card.preload_lb
    assert (wear.preload_lost_lb or 0.0) == pytest.approx(lost, abs=SAME_LB), car
    last, after = runs.sort("run_id").row(-1, named=True), rows_of_car(con, "runs", f"{car} once more")
    checks = rows_of_car(con, "clutch_checks", car).filter(
        pl.col("ring_height_in").is_not_null() | pl.col("is_service")
    )
    since = checks.height and checks["checked_at"].max() > last["run_at"]
    run = after.sort("run_id").row(-1, named=True) if since else last
    if run["preload_turns"] == turns:  # else set anew since: the load then is the next run's
        assert card.preload_when_set_lb - run["preload_lb"] == pytest.approx(lost, abs=SAME_LB), car
    if wear.grown_since_set_in is not None:
        assert run["wear_in"] == pytest.approx(wear.grown_since_set_in, abs=1e-12), car
        assert run["ring_height_in"] == pytest.approx(wear.ring_height_in, abs=1e-12), car
    knots = rows_of_car(con, "ring_knots", car)
    if wear.growth_in_per_run is not None:
        slope = con.table("ring_spans").filter(f"car = '{car}'").pl()["growth_in_per_run"][0]
        assert slope == pytest.approx(wear.growth_in_per_run, abs=1e-12), car
        mine = growth_per_run(
            *(knots[name].to_list() for name in ("runs_made", "ring_height_in", "service_no"))
        )
        assert mine.slope == pytest.approx(slope, abs=1e-12), car
    return bool(wear.grown_since_set_in)


def test_a_few_random_histories_have_one_wear() -> None:
    check_histories(FEW)


@pytest.mark.long
def test_two_thousand_random_histories_have_one_wear() -> None:
    check_histories(MANY)


def test_checks_that_begin_late_count_from_when_the_clutch_was_set() -> None:
    """Preload set before run 1, checks after runs 20, 30 and 40, seventy runs."""
    moments = [START + timedelta(hours=run) for run in range(70)]
    checks = [
        {"checked_at": moments[made - 1] + timedelta(minutes=30), "ring_height_in": 2.1 + 0.0005 * made}
        for made in (20, 30, 40)
    ]
    clutch = Clutch.model_validate(
        {"name": "any", "screws": 8, "spring_rate": 300.0, "base_load": 400.0, "load_per_turn": 9.0,
         "service_growth": 0.040}
    )  # fmt: skip
    con = store(
        garage_rows({"Marigold": clutch}),
        timeslips=[{"run_at": moment} for moment in moments],
        setups=[{"set_at": START - timedelta(hours=1), "preload_turns": 3.0}],
        checks=checks,
    )
    con.begin()
    build_runs(con)
    con.commit()
    runs, setups = (rows_of_car(con, table, "Marigold") for table in ("runs", "setups"))
    wear = _wear_now(con, "Marigold", runs, setups, clutch)
    last = runs.sort("run_id").row(-1, named=True)
    assert last["wear_in"] == pytest.approx(0.0345)
    assert wear.grown_since_set_in == pytest.approx(0.0345)
    assert wear.preload_lost_lb == pytest.approx(0.0345 * 8 * 300)
    assert 400 + 9 * 8 * 3.0 - last["preload_lb"] == pytest.approx(wear.preload_lost_lb)
    assert "0.0345 in of growth since the clutch was set, worth about 83 lb" in wear.sentence
    assert wear.runs_to_service == pytest.approx(11)
    assert wear.runs_to_service_low < 11 < wear.runs_to_service_high
    assert "About 11 runs to service (9 to 14)" in wear.sentence
