"""The fleet's prior: EM, few-car correction, odd-car spike, pooled estimates and their coverage."""

import numpy as np
import pytest
from scipy import stats

from pipeline.errors import ThinData
from pipeline.fleet import basis as fb
from pipeline.fleet.findings import ODD_FROM
from pipeline.fleet.model import information_of, prior_without, solve_fleet
from pipeline.fleet.prior import (
    FEW_CARS,
    ODD_SHARE,
    ODD_WIDTH,
    FleetPrior,
    Information,
    corrected,
    learn_prior,
    pool,
)
from tests.fleet.fleet_tools import fleet, new_cars, sums_of

MS = 1e-3
WEAK = fb.weak_prior_sd("t60")
EXACT = 1e-10
COVER_BAR = 0.93
NEW_CAR_BAR = 0.65


def drawn(seed: int, cars: int, doubt_ms: float, mean: np.ndarray, sd: np.ndarray):
    """Information of cars measured with equal doubt in every coefficient, and the truth behind it."""
    rng = np.random.default_rng(seed)
    truth = mean + sd * rng.normal(size=(cars, fb.SIZE))
    seen = truth + doubt_ms * MS * rng.normal(size=truth.shape)
    precision = np.tile(np.eye(fb.SIZE) / (doubt_ms * MS) ** 2, (cars, 1, 1))
    score = np.einsum("kij,kj->ki", precision, seen)
    return Information(precision, score, np.full(cars, 0.1), np.zeros((2, 2))), truth


def test_em_finds_the_mean_and_the_spread() -> None:
    mean, sd = np.linspace(-5, 5, fb.SIZE) * MS, np.linspace(1, 3, fb.SIZE) * MS
    information, truth = drawn(1, 800, 2.0, mean, sd)
    prior = learn_prior(information, WEAK, np.random.default_rng(0))
    assert prior.mean == pytest.approx(truth.mean(0), abs=0.3 * MS)
    assert np.sqrt(np.diag(prior.spread)) == pytest.approx(sd, rel=0.2)


def test_em_stops_where_the_likelihood_is_flat() -> None:
    """At the maximum, with equal doubt v: m = mean seen and O = variance seen - v."""
    information, _ = drawn(2, 300, 1.0, np.zeros(fb.SIZE), np.full(fb.SIZE, 3.0) * MS)
    prior = learn_prior(information, WEAK, np.random.default_rng(0))
    seen = information.score * MS**2
    assert prior.mean == pytest.approx(seen.mean(0), abs=1e-5)
    assert prior.spread == pytest.approx(np.cov(seen.T, bias=True) - np.eye(fb.SIZE) * MS**2, abs=2e-7)


def test_the_correction_leans_on_the_weak_prior_below_thirty_cars_and_widens_above() -> None:
    spread = np.diag(np.full(fb.SIZE, 4.0) * MS**2)
    few = corrected(spread, 10, WEAK)
    assert few[0, 0] == pytest.approx((10 * 4 + 8 * 100) / 18 * 1.1 * MS**2)
    assert corrected(spread, 260, WEAK)[0, 0] == pytest.approx(4 * 1.1 * MS**2)
    assert FEW_CARS == 30


def one_prior(mean: np.ndarray, cov: np.ndarray) -> FleetPrior:
    return FleetPrior(mean, cov, cov, np.zeros_like(cov), 0.1, 1000, 1)


def test_pooling_equals_the_mixture_written_out() -> None:
    rng = np.random.default_rng(3)
    root = rng.normal(size=(fb.SIZE, fb.SIZE)) * MS
    cov = root @ root.T + np.eye(fb.SIZE) * MS**2
    prior = one_prior(rng.normal(size=fb.SIZE) * MS, cov)
    half = rng.normal(size=(14, fb.SIZE)) / MS
    precision, score = half.T @ half, half.T @ rng.normal(size=14)
    found = pool(Information(precision[None], score[None], np.array([0.1]), np.zeros((2, 2))), prior)
    shares, means, covs = [], [], []
    for j in range(fb.SIZE + 1):
        wide = cov.copy()
        if j:
            wide[j - 1, j - 1] *= ODD_WIDTH**2
        seen = np.linalg.solve(precision, score)
        likelihood = stats.multivariate_normal(prior.mean, wide + np.linalg.inv(precision)).pdf(seen)
        shares.append(likelihood * (ODD_SHARE / fb.SIZE if j else 1 - ODD_SHARE))
        covs.append(np.linalg.inv(precision + np.linalg.inv(wide)))
        means.append(covs[-1] @ (score + np.linalg.solve(wide, prior.mean)))
    share = np.array(shares) / np.sum(shares)
    mean = share @ np.array(means)
    variance = share @ (np.array([np.diag(c) for c in covs]) + (np.array(means) - mean) ** 2)
    assert found.odd[0] == pytest.approx(share[1:], rel=1e-6, abs=1e-9)
    assert found.mean[0] == pytest.approx(mean, abs=EXACT)
    assert found.sd[0] == pytest.approx(np.sqrt(variance), rel=1e-7)


def test_limits_hold_95_percent_of_the_mixture() -> None:
    information, _ = drawn(4, 40, 3.0, np.zeros(fb.SIZE), np.full(fb.SIZE, 2.0) * MS)
    found = pool(information, one_prior(np.zeros(fb.SIZE), np.eye(fb.SIZE) * (2 * MS) ** 2))
    assert (found.low < found.mean).all()
    assert (found.mean < found.high).all()
    width = (found.high - found.low) / (2 * 1.96 * found.sd)
    assert width == pytest.approx(np.ones_like(width), abs=0.2)


@pytest.fixture(scope="module")
def big_fleet():
    return solve_fleet(sums_of(fleet(21, 300).runs))


def test_a_new_car_with_ten_runs_gains_from_the_fleet(big_fleet) -> None:
    """The bar: error with the fleet at most 0.65 of its own-data error, over the five effects together."""
    cars = fleet(22, 250, runs=10)
    own, pooled = new_cars(big_fleet, cars.runs)
    miss_own = np.sqrt(np.mean((own[:, list(fb.EFFECTS)] - cars.true_effects()) ** 2))
    miss_pooled = np.sqrt(np.mean((pooled.mean[:, list(fb.EFFECTS)] - cars.true_effects()) ** 2))
    assert miss_pooled <= NEW_CAR_BAR * miss_own


def coverage(cars: int, fleets: int, seed: int, *, ruined: float = 0.0, new: int = 60) -> np.ndarray:
    """Share of new cars' effects inside their pooled intervals, one figure an effect."""
    inside = []
    for draw in range(fleets):
        model = solve_fleet(sums_of(fleet(seed + draw, cars, ruined=ruined).runs))
        fresh = fleet(seed + 5000 + draw, new, runs=10, ruined=ruined)
        _, found = new_cars(model, fresh.runs)
        low, high = (limit[:, list(fb.EFFECTS)] for limit in (found.low, found.high))
        true = fresh.true_effects()
        inside.append(((low <= true) & (true <= high)).mean(0))
    return np.mean(inside, axis=0)


@pytest.mark.parametrize(("cars", "fleets"), [(5, 6), (10, 5), (30, 4)])
def test_new_cars_are_covered_by_small_fleets(cars: int, fleets: int) -> None:
    assert coverage(cars, fleets, 100 + cars).mean() >= COVER_BAR


def test_new_cars_are_covered_by_a_large_fleet(big_fleet) -> None:
    fresh = fleet(23, 300, runs=10)
    _, found = new_cars(big_fleet, fresh.runs)
    low, high = (limit[:, list(fb.EFFECTS)] for limit in (found.low, found.high))
    true = fresh.true_effects()
    assert ((low <= true) & (true <= high)).mean() >= COVER_BAR


@pytest.mark.long
@pytest.mark.parametrize(("cars", "fleets"), [(5, 60), (10, 40), (30, 30), (300, 6)])
@pytest.mark.parametrize("ruined", [0.0, 0.05])
def test_new_cars_are_covered_at_length(cars: int, fleets: int, ruined: float) -> None:
    found = coverage(cars, fleets, 10_000 + cars, ruined=ruined, new=150)
    assert found.mean() >= COVER_BAR
    assert found.min() >= COVER_BAR - 0.03


def test_an_odd_car_is_found_and_others_are_not(big_fleet) -> None:
    """One car lies six spreads out in what preload does."""
    cars = fleet(24, 120, odd=(0, 6.0))
    model = solve_fleet(sums_of(cars.runs))
    assert model.pooled.odd[0, 0] > ODD_FROM
    assert (model.pooled.odd[1:, list(fb.EFFECTS)] > ODD_FROM).mean() < 0.005
    true = cars.true_effects()[0, 0]
    assert model.pooled.low[0, 0] < true < model.pooled.high[0, 0]
    assert big_fleet.prior.cars == 300


def test_the_fleet_mean_is_near_the_truth(big_fleet) -> None:
    """Preload and counterweight of the simulator: -4 ms a turn and -3 ms a gram."""
    reach = 3.5 * big_fleet.mean_sd
    assert abs(big_fleet.prior.mean[0] + 4 * MS) < reach[0] + 0.3 * MS
    assert abs(big_fleet.prior.mean[1] + 3 * MS) < reach[1] + 0.3 * MS
    assert (big_fleet.mean_sd < 0.6 * MS).all()


def test_a_car_does_not_count_twice_in_its_own_prior() -> None:
    model = solve_fleet(sums_of(fleet(25, 8, runs=40).runs))
    without = prior_without(model, 3)
    others = solve_fleet(model.sums.of(np.array([0, 1, 2, 4, 5, 6, 7])))
    assert without.cars == 7
    assert without.mean == pytest.approx(others.prior.mean, abs=0.3 * MS)


def test_two_cars_are_too_few_to_pool() -> None:
    sums = sums_of(fleet(26, 2, runs=20).runs)
    with pytest.raises(ThinData, match="only 2 cars"):
        solve_fleet(sums, clutch_type="ten-spring")


def test_information_is_widened_for_weighted_runs() -> None:
    sums = sums_of(fleet(27, 10, runs=60).runs)
    model = solve_fleet(sums)
    information = information_of(model.sums, model.variance)
    assert information.precision.shape == (10, fb.SIZE, fb.SIZE)
    assert 7 * MS < model.noise_s < 11 * MS
