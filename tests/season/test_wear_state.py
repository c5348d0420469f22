"""Wear now: growth per run, preload lost, runs to service, restarted at each service."""

import datetime as dt

import pytest

from pipeline.garage.parts import Clutch
from pipeline.season.car_data import _wear_now, rows_of_car
from pipeline.season.results import Wear
from pipeline.store.build_runs import build_runs
from tests.queries.given import store

START = dt.datetime(2031, 4, 1, 12)
GROWTH_IN = 0.0002
EIGHT_SCREWS = Clutch.model_validate(
    {
        "name": "eight-screw",
        "screws": 8,
        "spring_rate": 150,
        "service_growth": 0.030,
        "shims": [0.005, 0.010, 0.015],
    }
)


def wear_after(
    runs: int,
    checks: list[tuple[float, float | None, float | None]],
    clutch: Clutch | None,
    *,
    undated: bool = False,
) -> Wear:
    """Work out the wear after runs one a day, with checks as (runs made, ring height, shim removed)."""
    slips = [{"run_at": START + dt.timedelta(days=at)} for at in range(runs)]
    rows = [
        {
            "checked_at": START + dt.timedelta(days=made - 0.5),
            "ring_height_in": height,
            "shim_removed_in": shim,
        }
        for made, height, shim in checks
    ]
    if undated:
        slips.append({"run_at": None})
        rows.append({"checked_at": None, "ring_height_in": 2.5, "shim_removed_in": 0.5})
    con = store(timeslips=slips, checks=rows)
    con.begin()
    build_runs(con)
    con.commit()
    made, setups = (rows_of_car(con, table, "Marigold") for table in ("runs", "setups"))
    return _wear_now(con, "Marigold", made, setups, clutch)


def test_growth_load_and_forecast_follow_from_three_checks() -> None:
    wear = wear_after(50, [(made, 2.150 + made * GROWTH_IN, None) for made in (0, 20, 40)], EIGHT_SCREWS)
    assert wear.growth_in_per_run == pytest.approx(GROWTH_IN)
    # At the last run, which 49 were made before.
    assert wear.ring_height_in == pytest.approx(2.1598)
    assert wear.preload_lost_lb == pytest.approx(8 * 150 * 0.0098)
    assert wear.runs_to_service == pytest.approx(101)
    assert wear.runs_to_service_low < 101 < wear.runs_to_service_high
    assert wear.shim_to_remove_in == pytest.approx(0.005)


def test_a_check_after_the_last_run_says_how_it_stands() -> None:
    wear = wear_after(40, [(0, 2.150, None), (40, 2.158, None)], EIGHT_SCREWS)
    assert wear.ring_height_in == pytest.approx(2.158)
    assert wear.grown_since_service_in == pytest.approx(0.008)


def test_a_service_starts_anew() -> None:
    before = [(made, 2.150 + made * GROWTH_IN, None) for made in (0, 40)]
    after = [(made, 2.150 + (made - 40) * GROWTH_IN, shim) for made, shim in ((40.1, 0.008), (60, None))]
    wear = wear_after(60, before + after, EIGHT_SCREWS)
    assert wear.growth_in_per_run == pytest.approx(GROWTH_IN, rel=0.01)
    assert [service.runs for service in wear.services] == [40, 20]
    assert wear.services[1].shim_removed_in == pytest.approx(0.008)
    assert wear.grown_since_service_in == pytest.approx(20 * GROWTH_IN, rel=0.01)


def test_a_construction_where_growth_adds_load_says_gained() -> None:
    clutch = EIGHT_SCREWS.model_copy(update={"growth_effect": "more load"})
    wear = wear_after(40, [(0, 2.150, None), (40, 2.158, None)], clutch)
    assert wear.preload_lost_lb == pytest.approx(-9.6)
    assert "gained" in wear.sentence


def test_without_a_check_nothing_is_made_up() -> None:
    wear = wear_after(5, [], EIGHT_SCREWS)
    assert wear.ring_height_in is None
    assert "No ring height" in wear.sentence


def test_one_check_asks_for_another() -> None:
    wear = wear_after(5, [(0, 2.150, None)], None)
    assert wear.growth_in_per_run is None
    assert "one more check" in wear.sentence


def test_without_a_limit_the_line_to_add_is_named() -> None:
    wear = wear_after(40, [(0, 2.150, None), (40, 2.158, None)], None)
    assert wear.runs_to_service is None
    assert "service_growth" in wear.sentence


def test_rows_whose_date_waits_for_an_answer_have_no_say() -> None:
    checks = [(made, 2.150 + made * GROWTH_IN, None) for made in (0, 20, 40)]
    assert wear_after(50, checks, EIGHT_SCREWS, undated=True) == wear_after(50, checks, EIGHT_SCREWS)


def test_a_service_whose_ring_nobody_measured_asks_for_it() -> None:
    wear = wear_after(50, [(0, 2.150, None), (40, 2.158, None), (41, None, 0.010)], EIGHT_SCREWS)
    assert wear.ring_height_in is None
    assert wear.runs_to_service is None
    assert "measure it" in wear.sentence


def test_a_ring_that_reads_lower_is_never_said_to_shrink() -> None:
    wear = wear_after(60, [(0, 2.152, None), (20, 2.151, None), (40, 2.150, None)], EIGHT_SCREWS)
    assert wear.growth_in_per_run == 0.0
    assert wear.runs_to_service is None
