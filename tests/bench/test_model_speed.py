"""A fit is quick enough to be asked for between rounds."""

from pipeline.season.effects import effects
from pipeline.season.response_fit import fit_response
from tests.bench.yardstick import times_the_yardstick
from tests.season.seasons import FACTS, season

MOST_YARDSTICKS = 6.0


def test_250_runs_are_fitted_and_judged_within_the_bar():
    runs = season(1, runs=250, events=15)
    times = times_the_yardstick(lambda: effects(fit_response(runs, FACTS)))
    print(f"\nfit and verdicts of 250 runs: {times:.1f} yardsticks")  # noqa: T201
    assert times < MOST_YARDSTICKS
