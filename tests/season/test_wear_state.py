"""Wear now: growth per run, preload lost, runs to service, restarted at each service."""

import datetime as dt

import polars as pl
import pytest

from pipeline.garage.logbook import Clutch
from pipeline.season.wear_state import wear_of

START = dt.datetime(2031, 4, 1, 12)
GROWTH_IN = 0.0002
SIX_SCREWS = Clutch.model_validate(
    {
        "name": "six-screw",
        "spring_rate": 200,
        "service_growth": 0.020,
        "shims": [0.005, 0.010, 0.015],
    }
)


def runs_of(count: int) -> pl.DataFrame:
    return pl.DataFrame(
        {"run_id": range(count), "run_at": [START + dt.timedelta(days=at) for at in range(count)]}
    )


def checks_of(rows: list[tuple[float, float | None, float | None]]) -> pl.DataFrame:
    """(runs made, ring height, shim removed) in order."""
    services = [bool(shim) for _, _, shim in rows]
    return pl.DataFrame(
        {
            "is_service": services,
            "service_no": [sum(services[: at + 1]) for at in range(len(rows))],
            "checked_at": [START + dt.timedelta(days=made - 0.5) for made, _, _ in rows],
            "entry_order": range(len(rows)),
            "ring_height_in": [height for _, height, _ in rows],
            "shim_removed_in": [shim for _, _, shim in rows],
        },
        schema_overrides={
            "ring_height_in": pl.Float64,
            "shim_removed_in": pl.Float64,
            "service_no": pl.Int64,
            "is_service": pl.Boolean,
        },
    )


def test_growth_load_and_forecast_follow_from_three_checks() -> None:
    checks = checks_of([(made, 1.950 + made * GROWTH_IN, None) for made in (0, 20, 40)])
    wear = wear_of(runs_of(50), checks, SIX_SCREWS)
    assert wear.growth_in_per_run == pytest.approx(GROWTH_IN)
    assert wear.ring_height_in == pytest.approx(1.960)
    assert wear.preload_lost_lb == pytest.approx(6 * 200 * 0.010)
    assert wear.runs_to_service == pytest.approx(50)
    assert wear.shim_to_remove_in == pytest.approx(0.010)


def test_a_service_starts_anew() -> None:
    before = [(made, 1.950 + made * GROWTH_IN, None) for made in (0, 40)]
    after = [(made, 1.950 + (made - 40) * GROWTH_IN, shim) for made, shim in ((40, 0.010), (60, None))]
    wear = wear_of(runs_of(60), checks_of(before + after), SIX_SCREWS)
    assert wear.growth_in_per_run == pytest.approx(GROWTH_IN)
    assert [service.runs for service in wear.services] == [40, 20]
    assert wear.services[1].shim_removed_in == pytest.approx(0.010)
    assert wear.preload_lost_lb == pytest.approx(6 * 200 * 20 * GROWTH_IN)


def test_a_construction_where_growth_adds_load_says_gained() -> None:
    clutch = SIX_SCREWS.model_copy(update={"growth_effect": "more load"})
    checks = checks_of([(0, 1.950, None), (40, 1.958, None)])
    wear = wear_of(runs_of(40), checks, clutch)
    assert wear.preload_lost_lb == pytest.approx(-9.6)
    assert "gained" in wear.sentence


def test_without_a_check_nothing_is_made_up() -> None:
    wear = wear_of(runs_of(5), checks_of([]), SIX_SCREWS)
    assert wear.ring_height_in is None
    assert "No ring height" in wear.sentence


def test_one_check_asks_for_another() -> None:
    wear = wear_of(runs_of(5), checks_of([(0, 1.950, None)]), None)
    assert wear.growth_in_per_run is None
    assert "one more check" in wear.sentence


def test_without_a_limit_the_line_to_add_is_named() -> None:
    wear = wear_of(runs_of(40), checks_of([(0, 1.950, None), (40, 1.958, None)]), None)
    assert wear.runs_to_service is None
    assert "service_growth" in wear.sentence


def test_rows_whose_date_waits_for_an_answer_have_no_say() -> None:
    checks = checks_of([(made, 1.950 + made * GROWTH_IN, None) for made in (0, 20, 40)])
    undated = pl.DataFrame(
        {
            "is_service": [True],
            "service_no": [9],
            "checked_at": [None],
            "entry_order": [9],
            "ring_height_in": [2.5],
            "shim_removed_in": [0.5],
        },
        schema=checks.schema,
    )
    runs = runs_of(50)
    undated_run = pl.DataFrame({"run_id": [99], "run_at": [None]}, schema=runs.schema)
    wear = wear_of(pl.concat([runs, undated_run]), pl.concat([checks, undated]), SIX_SCREWS)
    assert wear == wear_of(runs, checks, SIX_SCREWS)


def test_a_service_whose_ring_nobody_measured_asks_for_it() -> None:
    checks = checks_of([(0, 1.950, None), (40, 1.958, None), (41, None, 0.010)])
    wear = wear_of(runs_of(50), checks, SIX_SCREWS)
    assert wear.ring_height_in is None
    assert wear.runs_to_service is None
    assert "measure it" in wear.sentence
