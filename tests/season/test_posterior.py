"""The closed-form posterior against brute force, published REML estimates and an independent library."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize
from scipy.stats import multivariate_normal, norm
from statsmodels.regression.linear_model import OLS
from statsmodels.regression.mixed_linear_model import MixedLM

from pipeline.season.elimination import eliminate, log_evidence, solution
from pipeline.season.grid import fit, scale_of_normal
from pipeline.season.posterior import Posterior, mixture_cdf, summarise
from pipeline.season.spreads import Nodes, Settings
from pipeline.season.sums import Observed, event_sums
from tests.reference import small_data as data

BRUTE = 1e-8  # two exact algebras of the same numbers, condition below 1e6
FINE = {"xatol": 1e-9, "fatol": 1e-12, "maxiter": 4000, "maxfev": 4000}
FLAT = 1e8  # a prior this wide moves nothing in the digits compared


def problem(seed=5, runs=30, events=4, slopes=2):
    rng = np.random.default_rng(seed)
    x = np.column_stack([np.ones(runs), rng.normal(size=(runs, 3))])
    event = np.sort(rng.integers(0, events, runs))
    event[:events] = np.arange(events)
    event.sort()
    z = np.column_stack([np.ones(runs), rng.normal(size=(runs, slopes))])
    y = x @ [0.1, 0.5, -0.3, 0.2] + rng.normal(0, 0.4, events)[event] + rng.normal(0, 0.3, runs)
    return x, y, z, event, rng.uniform(0.3, 1.3, runs)


def full_matrix(z, event):
    """Z with one block of columns an event. Shape (n, E q)."""
    events, q = event.max() + 1, z.shape[1]
    out = np.zeros((z.shape[0], events * q))
    for row, e in enumerate(event):
        out[row, e * q : (e + 1) * q] = z[row]
    return out


SIGMA, TAU, OMEGA = 0.35, 0.4, 0.1
PRIOR = np.array([3.0, 1.0, 0.5, 0.8])


def solve(sums, sigma, precision, prior):
    """Solution and log evidence at one node of given spreads."""
    events = eliminate(sums, precision[None] * sigma**2)
    evidence = log_evidence(sums, events, np.array([[sigma]]), prior)[0, 0]
    return solution(events, np.array([sigma]), prior), evidence


def node(follows=0.0):
    x, y, z, event, weights = problem()
    precision = np.diag([TAU**-2, OMEGA**-2, OMEGA**-2])
    runs = Observed(x, y, z, event, weights, np.arange(float(y.size)))
    return x, y, z, event, weights, *solve(runs.sums(follows), SIGMA, precision, PRIOR)


def noise_cov(weights, event, follows):
    """Covariance of the runs' noise as the page of :class:`Observed` has it, in full."""
    gap = np.abs(np.arange(weights.size)[:, None] - np.arange(weights.size))
    joins = np.minimum(1.0, 2 * weights) / np.sqrt(weights)
    cov = np.where(event[:, None] == event, np.outer(joins, joins) * follows**gap, 0.0)
    np.fill_diagonal(cov, 1 / weights)
    return SIGMA**2 * cov


@pytest.mark.parametrize("follows", [0.0, 0.6])
def test_evidence_is_the_normal_density_of_the_responses(follows):
    x, y, z, event, weights, _, evidence = node(follows)
    big = full_matrix(z, event)
    random = np.tile([TAU**2, OMEGA**2, OMEGA**2], event.max() + 1)
    cov = x @ np.diag(PRIOR**2) @ x.T + (big * random) @ big.T + noise_cov(weights, event, follows)
    assert evidence == pytest.approx(multivariate_normal(cov=cov).logpdf(y), rel=BRUTE)


def test_an_event_can_be_taken_out_whatever_the_noise():
    x, y, z, event, weights = problem()
    runs = Observed(x, y, z, event, weights, np.arange(float(y.size)))
    rest = runs.taken(event != 1)
    assert rest.event.max() == event.max() - 1
    whole, part = runs.sums(0.5), rest.sums(0.5)
    assert part.mm == pytest.approx(whole.mm - runs.taken(event == 1).sums(0.5).mm)


def test_coefficients_and_event_effects_are_the_joint_normal_solution():
    x, y, z, event, weights, solved, _ = node()
    both = np.column_stack([x, full_matrix(z, event)])
    prior = np.r_[PRIOR, np.tile([TAU, OMEGA, OMEGA], event.max() + 1)]
    precision = (both * weights[:, None]).T @ both / SIGMA**2 + np.diag(prior**-2)
    cov = np.linalg.inv(precision)
    mean = cov @ (both.T @ (weights * y)) / SIGMA**2
    assert solved.means[0] == pytest.approx(mean[:4], rel=BRUTE)
    assert solved.covs[0] == pytest.approx(cov[:4, :4], rel=1e-6, abs=1e-10)
    effects = solved.event_base[0] - solved.event_gain[0] @ solved.means[0]
    assert effects.ravel() == pytest.approx(mean[4:], rel=1e-6, abs=1e-9)


def test_contrast_with_event_effects_has_the_joint_variance():
    x, y, z, event, *_ = problem()
    settings = Settings(tau_s=(TAU,), omega_s=(OMEGA,), sigma_points=1, nu=np.inf)
    found = fit(x, y, z, event, PRIOR, settings)
    both = np.column_stack([x, full_matrix(z, event)])
    prior = np.r_[PRIOR, np.tile([TAU, OMEGA, OMEGA], event.max() + 1)]
    cov = np.linalg.inv(both.T @ both / found.sigma[0] ** 2 + np.diag(prior**-2))
    rng = np.random.default_rng(0)
    c, d = rng.normal(size=(1, 4)), rng.normal(size=(1, event.max() + 1, 3))
    whole = np.r_[c.ravel(), d.ravel()]
    assert found.contrast(c, d).sd[0] ** 2 == pytest.approx(whole @ cov @ whole, rel=1e-6)


def test_leverage_is_how_much_a_run_moves_its_own_fit():
    x, y, z, event, *_ = problem()
    settings = Settings(tau_s=(TAU,), omega_s=(OMEGA,), sigma_points=1, nu=np.inf)
    found = fit(x, y, z, event, PRIOR, settings)
    both = np.column_stack([x, full_matrix(z, event)])
    prior = np.r_[PRIOR, np.tile([TAU, OMEGA, OMEGA], event.max() + 1)]
    cov = np.linalg.inv(both.T @ both / found.sigma[0] ** 2 + np.diag(prior**-2))
    hat = np.einsum("np,pr,nr->n", both, cov, both) / found.sigma[0] ** 2
    assert found.leverage == pytest.approx(hat, rel=1e-6)


def test_flat_priors_and_free_events_are_within_event_least_squares():
    x, y, z, event, *_ = problem()
    settings = Settings(tau_s=(1e5,), omega_s=(1.0,), sigma_points=1, tau_prior_s=1e9, nu=np.inf)
    found = fit(x, y, z[:, :1], event, np.full(4, FLAT), settings)
    dummies = (event[:, None] == np.arange(event.max() + 1)).astype(float)
    plain = OLS(y, np.column_stack([dummies, x[:, 1:]])).fit()
    count = event.max() + 1
    assert found.mean[1:] == pytest.approx(plain.params[count:], rel=1e-6)
    exact = plain.normalized_cov_params[count:, count:]
    assert found.cov[1:, 1:] / found.sigma[0] ** 2 == pytest.approx(exact, rel=1e-5, abs=1e-9)


def test_endless_freedom_equals_the_normal_fit():
    x, y, z, event, *_ = problem()
    normal = fit(x, y, z, event, PRIOR, Settings(nu=np.inf))
    nearly = fit(x, y, z, event, PRIOR, Settings(nu=1e12, mad_passes=0))
    assert nearly.mean == pytest.approx(normal.mean, abs=1e-7)
    assert nearly.run_weights == pytest.approx(np.ones(y.size), abs=1e-9)
    assert normal.inflation == 1.0


@pytest.mark.parametrize(("nu", "expected"), [(4.0, 0.8310), (8.0, None)])
def test_scale_of_a_t_on_normal_errors_solves_its_equation(nu, expected):
    scale = scale_of_normal(nu)
    value, _ = quad(lambda z: (nu + 1) * z * z / (nu + (z / scale) ** 2) * norm.pdf(z), -40, 40)
    assert value == pytest.approx(scale**2, rel=1e-8)
    assert expected is None or scale == pytest.approx(expected, abs=1e-4)


def test_outliers_lose_their_weight_and_nothing_else_does():
    x, y, z, event, *_ = problem(runs=80)
    y = y.copy()
    y[7] += 6.0
    settings = Settings(tau_s=(0.1, 0.4), omega_s=(0.05, 0.1), tau_prior_s=0.4, omega_prior_s=0.1)
    found = fit(x, y, z, event, PRIOR, settings)
    assert found.run_weights[7] < 0.1
    assert np.delete(found.run_weights, 7).mean() > 0.85


def test_one_normal_has_its_own_quantiles():
    found = summarise(np.ones(1), np.array([[2.0]]), np.array([[9.0]]), level=0.95)
    assert (found.low[0], found.high[0]) == pytest.approx(tuple(norm(2, 3).interval(0.95)), abs=1e-9)
    assert found.prob_negative[0] == pytest.approx(norm(2, 3).cdf(0), abs=1e-12)


def test_mixture_quantiles_invert_its_cdf():
    mix, mean, sd = np.array([0.3, 0.7]), np.array([[-1.0], [2.0]]), np.array([[0.5], [2.0]])
    found = summarise(mix, mean, sd**2, level=0.9)
    cdf = mix @ norm.cdf((found.high - mean) / sd)
    assert cdf[0] == pytest.approx(0.95, abs=1e-9)
    assert found.mean[0] == pytest.approx(1.1)


def two_nodes():
    """Two nodes in shares of 0.3 and 0.6 (as likely nodes stand, before they sum to 1) and a third of 0.1."""
    x, y, z, event, weights = problem()
    nothing = np.zeros(3)
    return Posterior(
        mix=np.array([0.3, 0.6, 0.1]),
        nodes=Nodes(
            nothing, nothing, nothing, nothing, nothing, np.array([[1.0, 0.5], [2.0, 0.1], [9.0, 9.0]])
        ),
        noise=np.array([0.1, 0.2, 5.0]),
        means=np.array([[1.0, 0.0], [3.0, 1.0], [7.0, 7.0]]),
        covs=np.array([np.diag([0.04, 0.09]), [[0.16, 0.05], [0.05, 0.25]], np.diag([50.0, 50.0])]),
        event_gain=np.zeros((3, 1, 2, 2)),
        event_base=np.zeros((3, 1, 2)),
        event_covs=np.zeros((3, 1, 2, 2)),
        prior=np.ones(2),
        run_weights=weights,
        fitted=y,
        residuals=y,
        leverage=y,
        inflation=1.0,
        observed=Observed(x, y, z, event, weights, np.arange(float(y.size))),
    ).likeliest(2)


def test_the_likeliest_nodes_share_all_of_the_weight():
    few = two_nodes()
    assert few.mix == pytest.approx([2 / 3, 1 / 3])
    assert few.means[:, 0] == pytest.approx([3.0, 1.0])
    assert few.noise == pytest.approx([0.2, 0.1])


def test_covariance_is_that_within_nodes_and_that_between_them():
    # By hand: the mean of the covariances, and 2/3 x 1/3 of the square of how far the means lie apart.
    within = [[(2 * 0.16 + 0.04) / 3, 2 * 0.05 / 3], [2 * 0.05 / 3, (2 * 0.25 + 0.09) / 3]]
    between = 2 / 9 * np.array([[4.0, 2.0], [2.0, 1.0]])
    assert two_nodes().cov == pytest.approx(within + between)
    assert two_nodes().contrast(np.array([[1.0, -1.0]])).sd[0] ** 2 == pytest.approx(
        (2 * (0.16 + 0.25 - 0.10) + 0.04 + 0.09) / 3 + 2 / 9
    )


def test_one_run_adds_the_event_its_slope_and_the_noise_of_a_run():
    # By hand at z = (1, 3): 2^2 + 0.1^2 x 9 + 0.2^2 at the likelier node, 1 + 0.5^2 x 9 + 0.1^2 at the other.
    posterior, run, z = two_nodes(), np.array([[1.0, 0.0]]), np.array([[1.0, 3.0]])
    assert posterior.event_variance(z)[:, 0] == pytest.approx([4.09, 3.25])
    spread = (2 * (0.16 + 4.09 + 0.04) + 0.04 + 3.25 + 0.01) / 3 + 2 / 9 * 4.0
    assert posterior.one_run(run, z).sd[0] ** 2 == pytest.approx(spread)
    assert posterior.one_run(run, z).mean[0] == pytest.approx(7 / 3)


def test_the_chance_below_a_value_is_the_nodes_own_in_their_shares():
    mix, mean, variance = np.array([0.25, 0.75]), np.array([[0.0], [2.0]]), np.array([[1.0], [4.0]])
    assert mixture_cdf(mix, mean, variance, np.array([1.0]))[0] == pytest.approx(
        0.25 * norm.cdf(1.0) + 0.75 * norm.cdf(-0.5)
    )
    draws = np.random.default_rng(4).normal(size=400_000)
    below = 0.25 * (draws < 1.0).mean() + 0.75 * (2.0 + 2.0 * draws < 1.0).mean()
    assert mixture_cdf(mix, mean, variance, np.array([1.0]))[0] == pytest.approx(below, abs=3e-3)


# --- sleepstudy: Bates et al., lme4 [seen]; variances in ms^2. The restricted likelihood is our evidence
# with a flat prior, up to the constant that prior adds. ---


def sleepstudy():
    y = np.array(data.SLEEPSTUDY)
    subject = np.repeat(np.arange(18), 10)
    days = np.tile(np.arange(10.0), 18)
    return np.column_stack([np.ones(180), days]), y.ravel(), subject


def reml(x, y, z, event, precision, sigma):
    """REML criterion (-2 log restricted likelihood) and solution at one set of variances."""
    flat = np.full(x.shape[1], 1e5)
    solved, evidence = solve(event_sums(x, y, z, event, np.ones(y.size)), sigma, precision, flat)
    constant = np.log(2 * np.pi * flat**2).sum()
    return -2 * evidence - constant, solved


def test_sleepstudy_random_intercept_by_restricted_likelihood():
    x, y, subject = sleepstudy()

    def criterion(log_sd):
        return reml(x, y, x[:, :1], subject, np.array([[np.exp(-2 * log_sd[1])]]), np.exp(log_sd[0]))[0]

    best = minimize(
        criterion, np.log([30.0, 30.0]), method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-10}
    )
    sd = np.exp(best.x)
    _, solved = reml(x, y, x[:, :1], subject, np.array([[sd[1] ** -2]]), sd[0])
    assert best.fun == pytest.approx(1786.465085, abs=1e-3)
    assert sd[1] ** 2 == pytest.approx(1378.1758, rel=2e-3)
    assert sd[0] == pytest.approx(30.9912, rel=2e-3)
    assert solved.means[0] == pytest.approx([251.405105, 10.467286], rel=1e-6)
    assert np.sqrt(solved.covs[0, 1, 1]) == pytest.approx(0.804222, rel=1e-3)


def test_sleepstudy_correlated_slopes_by_restricted_likelihood():
    x, y, subject = sleepstudy()

    def precision(v):
        lower = np.array([[np.exp(v[1]), 0.0], [v[2], np.exp(v[3])]])
        return np.linalg.inv(lower @ lower.T)

    def criterion(v):
        return reml(x, y, x, subject, precision(v), np.exp(v[0]))[0]

    start = np.array([np.log(25), np.log(25), 0.5, np.log(6)])
    best = minimize(criterion, start, method="Nelder-Mead", options=FINE)
    _, solved = reml(x, y, x, subject, precision(best.x), np.exp(best.x[0]))
    covariance = np.linalg.inv(precision(best.x))
    assert best.fun == pytest.approx(1743.628272, abs=1e-3)
    assert solved.means[0] == pytest.approx([251.405105, 10.467286], rel=1e-6)
    assert np.sqrt(np.diag(solved.covs[0])) == pytest.approx([6.824551, 1.545787], rel=1e-3)
    assert np.diag(covariance) == pytest.approx([612.0886, 35.0716], rel=2e-3)
    assert covariance[0, 1] / np.sqrt(covariance[0, 0] * covariance[1, 1]) == pytest.approx(0.0656, abs=1e-3)
    assert np.exp(2 * best.x[0]) == pytest.approx(654.9412, rel=2e-3)


@pytest.mark.filterwarnings("ignore")  # the library warns near the boundary; its coefficients are checked
def test_coefficients_equal_an_independent_mixed_model():
    x, y, _, event, _ = problem(runs=120, events=10)
    theirs = MixedLM(y, x, groups=event).fit(reml=True)

    def criterion(log_sd):
        return reml(x, y, x[:, :1], event, np.array([[np.exp(-2 * log_sd[1])]]), np.exp(log_sd[0]))[0]

    best = minimize(
        criterion, np.log([0.3, 0.3]), method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12}
    )
    sd = np.exp(best.x)
    _, solved = reml(x, y, x[:, :1], event, np.array([[sd[1] ** -2]]), sd[0])
    assert solved.means[0] == pytest.approx(theirs.fe_params, abs=1e-6)
