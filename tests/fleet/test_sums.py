"""Per-car sums: SQL against arithmetic written out, centring, other engines, shards."""

import datafusion
import numpy as np
import polars as pl
import pyarrow as pa
import pytest

from pipeline.fleet import basis as fb
from pipeline.fleet import model as fleet_model
from pipeline.fleet import refit as fleet_refit
from pipeline.fleet.engine import what_it_leaves
from pipeline.fleet.passes import LAM_LADDER, LAST_CAR, car_columns, weigh_batch
from pipeline.fleet.sums import fit_alone, raw_sums, sweep_level
from pipeline.store.database import query
from tests.fleet.fleet_tools import fleet, loaded, sums_of

SAME = 1e-9
"""Relative: sums about a fixed reference lose three to four digits of sixteen to centring."""

EVERYTHING = (-(2**62), 2**63 - 1)


def design_by_hand(runs: pl.DataFrame) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Columns about the car's own means, time about its mean, event numbers: written out."""
    turns, grams, rpm, track, air = (runs[name].to_numpy() for name in fb.FACTOR_COLUMNS.values())
    steps = np.column_stack([turns, grams, rpm / 100, track / 10, 100 * np.log(air)])
    steps = steps - steps.mean(0)
    event = runs["event"].cast(pl.Int64).to_numpy()
    means = np.zeros((steps.shape[0], 3))
    for e in np.unique(event):
        means[event == e] = steps[event == e, :3].mean(0)
    bent = np.column_stack([steps[:, 2] ** 2, steps[:, 2] * steps[:, 3]])
    y = runs["t60_s"].to_numpy()
    return np.column_stack([steps, bent, means]), y - y.mean(), event


def swept_by_hand(x: np.ndarray, y: np.ndarray, event: np.ndarray, lam: float) -> np.ndarray:
    """[X y]'V^-1[X y] with the car's level swept out, V = I + lam ZZ' inverted in full."""
    z = (event[:, None] == np.unique(event)).astype(float)
    inverse = np.linalg.inv(np.eye(y.size) + lam * z @ z.T)
    whole = np.column_stack([np.ones(y.size), x, y])
    cross = whole.T @ inverse @ whole
    return cross[1:, 1:] - np.outer(cross[1:, 0], cross[1:, 0]) / cross[0, 0]


@pytest.mark.parametrize("lam", [0.1, 0.44, 6.0])
def test_sql_sums_equal_arithmetic_written_out(lam: float) -> None:
    runs = fleet(1, 3, runs=40).runs
    sums = sums_of(runs, ladder=(lam,), robust=False)
    for k, part in enumerate(runs.partition_by("car", maintain_order=True)):
        expected = swept_by_hand(*design_by_hand(part), lam)
        scale = np.sqrt(np.outer(np.diag(expected), np.diag(expected)))
        assert sums.swept[0, k] / scale == pytest.approx(expected / scale, abs=SAME)


def test_a_fit_from_sums_equals_generalised_least_squares_with_its_prior() -> None:
    runs = fleet(2, 1, runs=60).runs
    sums = sums_of(runs, ladder=(0.44,), robust=False)
    weak = fb.weak_prior_sd("t60")
    fits = fit_alone(sums, weak)
    swept = swept_by_hand(*design_by_hand(runs), 0.44)
    p = fb.SIZE
    penalised = swept[:p, :p] + np.diag(fits.noise[0] ** 2 / weak**2)
    assert fits.mean[0] == pytest.approx(np.linalg.solve(penalised, swept[:p, p]), abs=1e-9)


def test_run_weights_of_a_car_depend_on_no_other_car() -> None:
    runs = fleet(3, 6, runs=30, ruined=0.1).runs
    alone = [sums_of(part) for part in runs.partition_by("car", maintain_order=True)]
    together = sums_of(runs, ladder=tuple(alone[0].lam))
    for k, one in enumerate(alone):
        if one.lam[0] == together.lam[0]:
            assert together.swept[0, k] == pytest.approx(one.swept[0, 0], rel=1e-9, abs=1e-12)


def test_ruined_runs_lose_their_weight() -> None:
    clean, spoiled = fleet(4, 20, runs=60), fleet(4, 20, runs=60, ruined=0.08)
    true = clean.true_effects()
    weak = fb.weak_prior_sd("t60")

    def miss(robust: bool) -> float:
        fits = fit_alone(sums_of(spoiled.runs, robust=robust).at(0), weak)
        return float(np.sqrt(np.mean((fits.mean[:, :3] - spoiled.true_effects()[:, :3]) ** 2)))

    assert true.shape == spoiled.true_effects().shape
    assert miss(robust=True) < 0.75 * miss(robust=False)


def test_batches_change_nothing() -> None:
    runs = fleet(5, 13, runs=20).runs
    whole = sums_of(runs, ladder=LAM_LADDER)
    pieces = sums_of(runs, ladder=LAM_LADDER, batch_cars=4)
    assert (whole.car == pieces.car).all()
    assert pieces.swept == pytest.approx(whole.swept, rel=1e-9, abs=1e-12)
    assert pieces.weighing == pytest.approx(whole.weighing, rel=1e-9)


def test_sums_of_shards_add_up() -> None:
    """The first half of each car's events on one machine, the second on another."""
    runs = fleet(6, 5, runs=40).runs
    early = pl.col("event").cast(pl.Int64) < 2
    shards = [columns_of(runs.filter(early)), columns_of(runs.filter(~early))]
    added = {name: shards[0][name] + shards[1][name] for name in shards[0] if name not in {"car_no"}}
    whole = columns_of(runs)
    assert (shards[0]["car_no"] == whole["car_no"]).all()
    expected, found = sweep_level(raw_sums(whole))[0], sweep_level(raw_sums(added))[0]
    assert found == pytest.approx(expected, rel=1e-8, abs=1e-9)


def columns_of(runs: pl.DataFrame) -> dict[str, np.ndarray]:
    with loaded(runs) as engine:
        weigh_batch(engine, *EVERYTHING, robust=False)
        return car_columns(engine, (0.44,))[0]


def test_the_same_sql_files_run_on_another_engine() -> None:
    """Apache DataFusion, a test-only package, runs event_sums.sql and car_sums.sql as they stand."""
    runs = fleet(7, 8, runs=30, ruined=0.05).runs
    with loaded(runs) as engine:
        weigh_batch(engine, *EVERYTHING)
        design = engine.con.table("fleet_design").to_arrow_table()
        (ours,) = car_columns(engine, (0.44,))
    other = datafusion.SessionContext()
    other.register_record_batches("fleet_design", [design.to_batches()])
    events = other.sql(what_it_leaves(query("fleet/event_sums"))[2]).collect()
    other.register_record_batches("fleet_event_sums", [events])
    ladder = pa.table({"rung": pa.array([0], pa.int32()), "lam": [0.44], "last_car": [LAST_CAR]})
    other.register_record_batches("fleet_ladder", [ladder.to_batches()])
    found = other.sql(query("fleet/car_sums")).collect()
    theirs = pl.DataFrame(pa.Table.from_batches(found)).sort("car_no")
    assert theirs.columns == list(ours)
    assert theirs.height == 8
    for name, values in ours.items():
        assert theirs[name].to_numpy() == pytest.approx(values, rel=1e-10, abs=1e-9), name


@pytest.mark.parametrize("robust", [False, True])
def test_sums_about_a_cars_own_means_are_the_same(monkeypatch: pytest.MonkeyPatch, robust: bool) -> None:
    runs = fleet(8, 6, runs=24, ruined=0.05 * robust).runs
    by_sql = sums_of(runs, ladder=LAM_LADDER, robust=robust)
    monkeypatch.setattr(fleet_refit, "MOST_DIGITS", -1.0)
    about_own = sums_of(runs, ladder=LAM_LADDER, robust=robust)
    scale = np.sqrt(np.einsum("lkii->lki", about_own.swept))
    scale = scale[..., :, None] * scale[..., None, :]
    assert by_sql.swept / scale == pytest.approx(about_own.swept / scale, abs=SAME)
    assert by_sql.level_weight == pytest.approx(about_own.level_weight, rel=SAME)


def test_the_ratio_is_chosen_on_the_first_cars_and_the_sums_are_those_at_that_ratio(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Also where the first cars are summed up about their own means before the ratio is chosen."""
    monkeypatch.setattr(fleet_model, "SAMPLE_CARS", 2)
    monkeypatch.setattr(fleet_refit, "MOST_DIGITS", -1.0)
    runs = fleet(10, 6, runs=24).runs
    found = sums_of(runs)
    asked = sums_of(runs, ladder=tuple(found.lam))
    for name in ("car", "swept", "level_weight", "log_det", "centre", "between"):
        assert getattr(found, name).tolist() == getattr(asked, name).tolist(), name


def test_a_car_that_hardly_moved_far_from_the_reference_is_refitted() -> None:
    """Preload differs by a millionth of a turn round 7 turns: sums about 3 turns lose most digits."""
    runs = fleet(9, 4, runs=30).runs
    nudged = 7.0 + 1e-6 * (pl.col("preload_turns") - 3)
    odd = pl.col("car") == "car 000001"
    runs = runs.with_columns(
        preload_turns=pl.when(odd).then(nudged).otherwise(pl.col("preload_turns")),
        counterweight_g=pl.when(odd).then(1e6 * (nudged - 7.0) + 4).otherwise(pl.col("counterweight_g")),
    )
    sums = sums_of(runs, ladder=(0.44,), robust=False)
    assert sums.digits_lost[0] > fleet_refit.MOST_DIGITS
    assert (sums.digits_lost[1:] < fleet_refit.MOST_DIGITS).all()
    x, y, event = design_by_hand(runs.filter(odd))
    expected = swept_by_hand(x, y, event, 0.44)
    assert sums.swept[0, 0, 0, 0] == pytest.approx(expected[0, 0], rel=1e-6)


def test_settings_locked_together_are_refitted_and_share_what_they_do() -> None:
    runs = fleet(13, 3, runs=40).runs
    locked = runs.with_columns(counterweight_g=4 + 2 * (pl.col("preload_turns") - 3))
    sums = sums_of(locked, ladder=(0.44,), robust=False)
    assert (sums.digits_lost > fleet_refit.MOST_DIGITS).all()
    fits = fit_alone(sums, fb.weak_prior_sd("t60"))
    assert np.isfinite(fits.mean).all()
    sd = np.sqrt(np.einsum("kii->ki", fits.cov))
    assert (sd[:, :2] > 0.003).all()
    assert (sd[:, 2] < 0.003).all()


def test_a_setting_that_never_moved_says_nothing() -> None:
    runs = fleet(10, 4, runs=20).runs.with_columns(counterweight_g=pl.lit(5.3))
    sums = sums_of(runs)
    weak = fb.weak_prior_sd("t60")
    fits = fit_alone(sums, weak)
    assert (sums.swept[0, :, 1] == 0).all()
    assert fits.mean[:, 1] == pytest.approx(np.zeros(4))
    assert np.sqrt(fits.cov[:, 1, 1]) == pytest.approx(np.full(4, weak[1]))


def test_a_factor_seldom_written_down_is_left_aside_and_its_runs_kept() -> None:
    runs = fleet(11, 2, runs=30).runs.with_row_index()
    seldom = runs.with_columns(
        counterweight_g=pl.when(pl.col("index") % 30 < 5).then(pl.col("counterweight_g")),
        launch_rpm=pl.when(pl.col("index") % 30 != 7).then(pl.col("launch_rpm")),
    )
    sums = sums_of(seldom.drop("index"), robust=False)
    assert sums.runs.tolist() == [29, 29]
    assert (sums.swept[0, :, 1] == 0).all()
