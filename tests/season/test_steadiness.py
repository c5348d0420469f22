import polars as pl
import pytest

from pipeline.season.response_fit import fit_response
from pipeline.season.steadiness import LEAST_RUNS, SETTINGS, UNKNOWN_CAUSE, split_spreads, spread_causes
from tests.season.seasons import FACTS_WITHOUT_GEOMETRY, season


def some_runs(times: list[float], *, event: str = "Thaw Meet") -> pl.DataFrame:
    size = len(times)
    columns = {"event": [event] * size, "run_date": ["2031-04-05"] * size, "t60_s": times}
    return pl.DataFrame(columns | {"use_t60": [True] * size})


def test_spread_is_the_robust_distance_from_the_events_median() -> None:
    (one,) = split_spreads(some_runs([1.40, 1.41, 1.42, 1.43, 1.95]))
    assert (one.split, one.runs) == ("t60", 5)
    assert one.sd_s == pytest.approx(1.4826 * 0.01)


def test_an_event_of_few_runs_or_of_runs_that_do_not_count_is_left_out() -> None:
    times = [1.40, 1.41, 1.42, 1.43]
    assert split_spreads(some_runs(times[: LEAST_RUNS - 1])) == ()
    assert split_spreads(some_runs(times).with_columns(use_t60=pl.lit(False))) == ()


def test_shares_of_the_causes_add_up_and_the_unknown_is_the_fits_own_noise() -> None:
    fit = fit_response(season(5, runs=60, events=5), FACTS_WITHOUT_GEOMETRY)
    causes = spread_causes(fit)
    assert sum(one.share for one in causes) == pytest.approx(1.0)
    by_name = {one.cause: one for one in causes}
    assert {SETTINGS, UNKNOWN_CAUSE, "track_temp", "air_density"} <= set(by_name)
    assert by_name[UNKNOWN_CAUSE].seconds == pytest.approx(fit.posterior.typical(fit.posterior.noise))
    assert [one.seconds for one in causes] == sorted((one.seconds for one in causes), reverse=True)
