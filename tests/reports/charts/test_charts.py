"""Every chart: valid Vega-Lite, the marks it promises, and nothing at all when data are too thin."""

from dataclasses import replace
from itertools import pairwise
from typing import Any

import altair as alt
import polars as pl
import pytest

from pipeline.decide.results import LoadsThatHold
from pipeline.season.results import LaunchChance, RpmPoint
from reports import clutch, evidence, fleet, nightly, plan, season
from reports import next as next_card
from reports.charts import common
from reports.charts.clearance import clearance_chart, clearance_rows
from reports.charts.curve import curve_chart
from reports.charts.effects import effect_rows, effects_chart
from reports.charts.launch_chances import launch_chances_chart, tile_rows
from reports.charts.load_at_launch import load_at_launch_chart, load_rows
from reports.charts.nights import consistency_chart, nights_chart
from reports.charts.pairs import MOST_PAIRS, pairs_chart
from reports.charts.precision import precision_chart
from reports.charts.rpm_by_track import rpm_by_track_chart, stretches
from reports.charts.run_checks import run_checks_chart
from reports.charts.waterfall import waterfall_chart, waterfall_rows
from reports.charts.wear import wear_chart, wear_rows
from reports.charts.within_night import within_night_chart
from reports.frames import with_run_words
from reports.theme import HATCH
from reports.within_night import what_moved
from reports.words import SETTINGS, settings_of
from tests.reports import example_pages as pages
from tests.reports import example_results as ex

SUM_TOLERANCE_S = 1e-4  # charts carry rounded seconds

FIGURES = {
    **{f"season {one.key}": one for one in season.figures(pages.season_page())},
    **{f"nightly {one.key}": one for one in nightly.figures(pages.nightly_page())},
    **{f"evidence {one.key}": one for one in evidence.figures(pages.evidence_page())},
    **{f"next {one.key}": one for one in next_card.figures(pages.next_page())},
    **{f"plan {one.key}": one for one in plan.figures(pages.plan_page())},
    **{f"clutch {one.key}": one for one in clutch.figures(pages.clutch_page())},
    **{f"fleet {one.key}": one for one in fleet.figures(pages.fleet_page())},
}
CHARTS = {name: figure.chart for name, figure in FIGURES.items() if figure.chart is not None}


def spec_of(chart: alt.TopLevelLayerSpec | None) -> dict[str, Any]:
    assert chart is not None
    return chart.to_dict(validate=True)


@pytest.mark.parametrize("name", CHARTS)
def test_every_chart_is_valid_vega_lite(name: str) -> None:
    spec = spec_of(CHARTS[name])
    assert spec["width"] == "container"
    used = {layer["data"]["name"] for layer in spec["layer"] if "data" in layer} | {spec["data"]["name"]}
    assert used == set(spec["datasets"])


@pytest.mark.parametrize("name", FIGURES)
def test_every_figure_speaks_and_has_its_numbers(name: str) -> None:
    figure = FIGURES[name]
    assert figure.title
    if figure.chart is not None:
        assert len(figure.spoken) > 10
        assert figure.table is not None or figure.key in {"pairs", "wear", "car"}


def test_colors_are_named_never_fixed() -> None:
    for name, chart in CHARTS.items():
        text = str({key: part for key, part in spec_of(chart).items() if key not in {"datasets", "config"}})
        assert "#" not in text.replace(HATCH, ""), name


def test_a_waterfall_goes_from_the_first_mean_to_the_last() -> None:
    (change, _) = ex.example_changes()
    rows = waterfall_rows(change)
    assert [rows[0]["end"], rows[-1]["end"]] == pytest.approx(
        [change.from_period.mean_s, change.to_period.mean_s], abs=SUM_TOLERANCE_S
    )
    for row, following in pairwise(rows[:-1]):
        assert following["start"] == pytest.approx(row["end"], abs=SUM_TOLERANCE_S)
        assert row["next"] == following["row"]


def test_effects_show_cool_and_hot_tracks_and_tangled_pairs_once() -> None:
    mine = [effect for effect in ex.example_effects() if effect.response == "t60"]
    rows = effect_rows(mine, settings_of(ex.example_fit(ex.example_runs(1))))
    words = [row["what"] for row in rows]
    assert sum("together" in what for what in words) == 1
    assert [row["ms"] for row in rows if "on a" in row["what"]] == [-4.1, 5.2]
    quiet = next_row(rows, "tire pressure")
    assert quiet["unseen_low"] == -quiet["unseen_high"]
    assert quiet["filled"] == "hollow"
    assert next_row(rows, "rear shock")["ms"] is None


def next_row(rows: common.Rows, start: str) -> dict[str, Any]:
    return next(row for row in rows if row["what"].startswith(start))


def test_stretches_tried_and_never_tried_leave_no_gap() -> None:
    points = [RpmPoint(float(t), 6000.0, 5900.0, 6100.0, 70 <= t <= 90) for t in range(60, 111, 10)]
    assert stretches(points, supported=True) == [(65.0, 95.0)]
    assert stretches(points, supported=False) == [(60.0, 65.0), (95.0, 110.0)]
    edge = [replace(point, edge="lowest") if point.track_temp_f == 100 else point for point in points]
    assert stretches(edge, supported=False) == [(60.0, 65.0), (105.0, 110.0)]


def test_the_rpm_chart_hatches_what_was_never_tried_and_follows_its_slider() -> None:
    chart = rpm_by_track_chart(ex.example_rpm(), with_run_words(ex.example_runs(2)), 95.0)
    spec = spec_of(chart)
    assert any(layer["mark"].get("fill") == HATCH for layer in spec["layer"])
    assert {"name": "track_temp", "value": 95.0} in spec["params"]


def test_hovering_names_the_run() -> None:
    for key in ("season rpm-by-track", "season consistency", "season wear", "evidence curve-t60"):
        spec = spec_of(CHARTS[key])
        tips = [tip["field"] for layer in spec["layer"] for tip in layer["encoding"].get("tooltip", [])]
        assert "run" in tips, key


def test_an_event_can_be_picked_in_every_chart_that_has_events() -> None:
    for key in (
        "season rpm-by-track",
        "season consistency",
        "season nights",
        "season wear",
        "evidence pairs",
    ):
        spec = spec_of(CHARTS[key])
        assert any(param["name"] == common.PICKED for param in spec["params"]), key


def test_wear_is_counted_through_the_season_and_broken_by_service() -> None:
    rows = wear_rows(with_run_words(ex.example_runs()))
    assert [row["n"] for row in rows] == list(range(1, 121))
    assert {row["service"] for row in rows} == {1, 2}


def test_thin_data_give_no_chart() -> None:
    runs = with_run_words(ex.example_runs(0, ()))
    assert effects_chart([ex.effect("t60", "preload", None, 0, "no_sign")], SETTINGS) is None
    assert rpm_by_track_chart(ex.example_rpm()[:1], runs) is None
    assert consistency_chart([], runs) is None
    assert nights_chart([]) is None
    assert wear_chart(runs) is None
    assert precision_chart((), SETTINGS) is None
    assert pairs_chart([], {}, SETTINGS["preload"], SETTINGS) is None
    assert run_checks_chart([], {}) is None
    assert curve_chart([], [], {}, axis_title="x") is None
    (change, _) = ex.example_changes()
    assert (
        waterfall_chart(
            type(change)(*[getattr(change, name) if name != "parts" else () for name in change.__slots__])
        )
        is None
    )


def test_a_long_list_of_pairs_is_cut() -> None:
    pair = ex.example_fit().before_after[0]
    chart = pairs_chart([pair] * 40, {pair.event: "Apr 12"}, SETTINGS["preload"], SETTINGS)
    assert chart is not None
    assert len(spec_of(chart)["datasets"]["rows"]) == MOST_PAIRS


def test_values_for_json_are_short_and_finite() -> None:
    frame = pl.DataFrame({"a": [1.23456789, float("nan")], "b": ["x", None]})
    assert common.rows_of(frame, ["a", "b", "missing"]) == [{"a": 1.23457, "b": "x"}, {"a": None, "b": None}]


def test_a_layer_without_rows_is_left_out() -> None:
    tried = [replace(point, supported=True) for point in ex.example_rpm()]
    spec = spec_of(rpm_by_track_chart(tried, with_run_words(ex.example_runs(0, ()))))
    assert all(spec["datasets"][layer["data"]["name"]] for layer in spec["layer"] if "data" in layer)
    assert not any(layer["mark"].get("fill") == HATCH for layer in spec["layer"])


def test_chances_are_tiles_that_leave_no_gap_and_carry_the_runs() -> None:
    points = [
        LaunchChance(temp, rpm, 0.3 if rpm > 6000 else 0.01, 0.0)
        for temp in (80.0, 90.0)
        for rpm in (5800.0, 6200.0)
    ]
    rows = tile_rows(points)
    assert {(row["low"], row["high"]) for row in rows} == {(5600.0, 6000.0), (6000.0, 6400.0)}
    spec = spec_of(launch_chances_chart(points, with_run_words(ex.example_runs(2))))
    assert [layer["mark"]["type"] for layer in spec["layer"]] == ["rect", "rect", "text", "point"]
    assert launch_chances_chart(points[:2], with_run_words(ex.example_runs(2))) is None


def test_clearance_starts_anew_where_it_was_set() -> None:
    rows = clearance_rows(ex.example_clutch_checks())
    assert [(row["n"], row["set"]) for row in rows] == [(0, 0), (20, 0), (60, 0), (81, 1), (104, 1)]
    assert clearance_chart(ex.example_clutch_checks().head(1), 0.125) is None
    assert clearance_chart(pl.DataFrame(), None) is None


def test_loads_that_hold_are_drawn_only_where_the_runs_reach_them() -> None:
    runs = with_run_words(ex.example_runs())
    rows = load_rows(runs)
    heaviest = max(row["load"] for row in rows)
    within = LoadsThatHold(500.0, 5000.0, heaviest - 40, heaviest + 500)
    beyond = LoadsThatHold(500.0, 5000.0, heaviest + 40, heaviest + 500)
    drawn = spec_of(load_at_launch_chart(runs, within))["datasets"].values()
    assert [{"load": heaviest - 40, "to": heaviest}] in drawn
    assert len(spec_of(load_at_launch_chart(runs, beyond))["layer"]) == 1
    assert load_at_launch_chart(runs.head(2), within) is None


def test_what_moved_within_a_night_goes_from_its_least_to_its_most() -> None:
    runs = with_run_words(ex.example_runs()).filter(pl.col("event") == "Last Light").sort("run_at")
    moved = what_moved(runs, SETTINGS)
    assert moved[0].label == "60 ft, s"
    assert moved[0].ends == f"{runs['t60_s'].min():.3f} to {runs['t60_s'].max():.3f}"
    heights = [row["height"] for row in spec_of(within_night_chart(moved))["datasets"]["rows"]]
    assert (min(heights), max(heights)) == (0.0, 1.0)
    assert what_moved(runs.head(1), SETTINGS) == []
    assert within_night_chart([]) is None
