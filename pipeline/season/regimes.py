"""A launch is clean, or it spins or bogs: how likely each is at a setting, and what it costs.

Two logistic parts, one for spinning and one for bogging, with priors that know the direction; the time lost
when it happens; and for every run the chance that it was clean, given what was noted, how far off it was and
where it was set. The chances come from expectation and maximisation along with the run weights of the fit: a
run counts for the clean curve by its chance of having been clean, never by a threshold.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt
import polars as pl
from scipy.special import expit, gammaln

from pipeline.season import basis
from pipeline.season.spec import LOAD, Spec
from pipeline.season.sums import Array, block_diagonal

SPUN, BOGGED = "spun", "bogged"
KINDS = (SPUN, BOGGED)

INTERCEPT = ((-4.0, 1.5), (-4.8, 1.5))
"""Mean and sd of the log odds of spinning and of bogging at the middle setting: about 1 in 50 and
1 in 120. [judgement]"""

_PRIORS: dict[str, tuple[tuple[float, float], tuple[float, float]]] = {
    "launch_rpm": ((0.9, 0.5), (-0.7, 0.5)),
    LOAD: ((1.2, 0.8), (0.3, 0.5)),
    "track_temp": ((0.5, 0.6), (-0.1, 0.2)),
    "air_density": ((0.3, 0.3), (0.0, 0.1)),
}
"""Mean and sd of the log odds per step, for spinning and for bogging. More launch rpm, more load, a hotter
track and more air, which is more torque, spin sooner; less rpm for the load bogs. The runs can overrule it:
of two simulations by different people one has 0.6 a 100 rpm, 1.9 a turn, 0.4 for 10 degF and 0.65 for 1 % of
air, the other 0.9 to 2.2, 0.2 to 2, 0.3 to 2.6 and nothing, so neither is left out. [judgement]"""

_OTHER = ((0.0, 0.4), (0.0, 0.25))
_RAW_LOAD = {"preload": ((1.2, 0.8), (0.4, 0.5)), "counterweight": ((0.6, 0.6), (0.2, 0.4))}
"""Without plate load its makers carry what is known of it."""

LOSS_S = 0.06
LOSS_RUNS = 5.0
"""Time usually lost when a launch goes wrong, and how many runs that knowledge weighs. [judgement]"""

LEAST_LOSS_SCALES = 4.0
"""A run is sorted out by a loss of at least so many noise scales on average: what is lost in less cannot be
told from a curve or from luck, and would be. Noted launches still say what going wrong costs. [judgement]"""

MOST_BY_SETTING = 0.3
"""No run is taken to have gone wrong for where it was set: beforehand the chance counts as this at most.
Without it the fast end of a plain curve can turn into launches gone wrong that vouch for one another."""

OFTEN_RUNS = 30.0
"""How many runs the knowledge of how often any car spins (1 run in 20, thought beforehand) weighs in how
often this one does. Of 10, 20, 30, 60 and not at all, 30 foretells simulated launches best. [derived by
simulation]"""

LOSS_SHAPE = 2
_LOSS_NODES = np.array([0.163, 0.309, 0.43, 0.546, 0.663, 0.787, 0.922, 1.076, 1.259, 1.493, 1.832, 2.521])
"""Twelve even shares of a gamma distribution of shape 2 and mean 1, each by its middle. [derived]"""

NOTED = (1.0, 2.0)
"""Beta prior of the share of launches gone wrong that the slips say. [judgement]"""

_NEWTON = 4
_MOST_STEP = 2.0
_MOST_SHIFT, _HALVINGS = 8.0, 20


def feature_names(spec: Spec) -> tuple[str, ...]:
    """Return what the chance of going wrong may depend on, the intercept first."""
    names = [f.name for f in spec.factors if f.varies and (f.is_setting or f.name in _PRIORS)]
    return ("intercept", *((LOAD,) if spec.clutch is not None else ()), *names)


def features(spec: Spec, state: Array) -> Array:
    """Return the columns of the logistic parts at given states. Shape (n, d)."""
    state = np.atleast_2d(state)
    by_name = {"intercept": np.ones(state.shape[0]), LOAD: basis.plate_load(spec, state)}
    return np.column_stack(
        [by_name[name] if name in by_name else state[:, spec.index(name)] for name in feature_names(spec)]
    )


def prior(spec: Spec, kind: int) -> tuple[Array, Array]:
    """Return mean and sd of one logistic part's coefficients beforehand. Two of shape (d,)."""
    with_load = spec.clutch is not None
    pairs = [
        INTERCEPT[kind] if name == "intercept" else _usual(name, kind, with_load=with_load)
        for name in feature_names(spec)
    ]
    return np.array([p[0] for p in pairs]), np.array([p[1] for p in pairs])


def _usual(name: str, kind: int, *, with_load: bool) -> tuple[float, float]:
    """Return mean and sd of the log odds per step of one factor beforehand, with plate load or without."""
    if name in _PRIORS:
        return _PRIORS[name][kind]
    return (_OTHER if with_load else _RAW_LOAD.get(name, _OTHER))[kind]


@dataclass(frozen=True, slots=True)
class Regimes:
    """How launches go wrong, as one car's runs tell it.

    Attributes
    ----------
    names
        Of the d columns of both logistic parts.
    weights, covs
        Log odds per step of spinning and of bogging when not spun. shapes (2, d), (2, d, d)
    loss_s, loss_log_sd
        Mean time lost, and the sd of its logarithm. shape (2,)
    shares
        Chance of every run of having been clean, spun, bogged. shape (n, 3)
    noted
        Whether the slip said spun or bogged. shape (n,)
    noted_share
        Of launches gone wrong, how many the slips say.
    """

    names: tuple[str, ...]
    weights: Array
    covs: Array
    loss_s: Array
    loss_log_sd: Array
    shares: Array
    noted: npt.NDArray[np.bool_]
    noted_share: float

    def chances(self, columns: Array) -> Array:
        """Return the chance of spinning and of bogging at rows of :func:`features`. Shape (n, 2)."""
        out = np.column_stack([_mean_chance(columns, self.weights[k], self.covs[k]) for k in (0, 1)])
        out[:, 1] *= 1 - out[:, 0]
        return out

    def expected_loss(self, columns: Array) -> tuple[Array, Array]:
        """Return the mean time lost at rows of features, and its slope in what is not known for sure.

        Returns
        -------
        shape (n,) [s], and (n, 2 d + 2): in both logistic parts' coefficients, then in the logarithms of
        the two mean losses; :attr:`cov` is the covariance that goes with it
        """
        chance = self.chances(columns)
        alone = chance[:, 1] / np.maximum(1 - chance[:, 0], 1e-12)
        loss = chance @ self.loss_s
        in_spin = chance[:, 0] * (1 - chance[:, 0]) * (self.loss_s[0] - alone * self.loss_s[1])
        in_bog = chance[:, 1] * (1 - alone) * self.loss_s[1]
        slope = np.column_stack([columns * in_spin[:, None], columns * in_bog[:, None], chance * self.loss_s])
        return loss, slope

    def with_unknown(self, names: Sequence[str]) -> Regimes:
        """Add columns for settings that never changed, known as beforehand only."""
        if not names:
            return self
        with_load = LOAD in self.names
        usual = [[_usual(name, kind, with_load=with_load) for kind in (0, 1)] for name in names]
        more = np.array([[pair[k][0] for pair in usual] for k in (0, 1)])
        covs = [block_diagonal([self.covs[k], np.diag([pair[k][1] ** 2 for pair in usual])]) for k in (0, 1)]
        weights = np.concatenate([self.weights, more], axis=1)
        return replace(self, names=(*self.names, *names), weights=weights, covs=np.stack(covs))

    @property
    def cov(self) -> Array:
        """Covariance of both parts' coefficients and the log losses. Shape (2 d + 2, 2 d + 2)."""
        d = len(self.names)
        out = np.zeros((2 * d + 2, 2 * d + 2))
        out[:d, :d], out[d : 2 * d, d : 2 * d] = self.covs
        out[2 * d :, 2 * d :] = np.diag(self.loss_log_sd**2)
        return out


@dataclass(slots=True)
class Sorter:
    """Sorts the runs of one fit into clean, spun and bogged by chance, pass by pass."""

    columns: Array
    prior_mean: Array
    prior_sd: Array
    names: tuple[str, ...]
    noted: Array
    weights: Array
    loss_s: Array
    noted_share: float
    shares: Array = field(default_factory=lambda: np.zeros((0, 3)))

    @staticmethod
    def of(spec: Spec, state: Array, runs: pl.DataFrame) -> Sorter:
        """Begin with what is usual for any car."""
        outcome = runs["outcome"].to_list() if "outcome" in runs.columns else [None] * runs.height
        noted = np.array([KINDS.index(o) + 1.0 if o in KINDS else 0.0 for o in outcome])
        mean, sd = (np.stack(part) for part in zip(*(prior(spec, k) for k in (0, 1)), strict=True))
        share = NOTED[0] / sum(NOTED)
        loss = np.full(2, LOSS_S)
        return Sorter(features(spec, state), mean, sd, feature_names(spec), noted, mean.copy(), loss, share)

    def sort(self, residual: Array, scale: float, nu: float) -> Array:
        """Sort by how far off each run was, learn from it, and return the chance of clean. Shape (n,)."""
        odds = expit(self.columns @ self.weights.T)
        prior = np.column_stack([odds[:, 0], (1 - odds[:, 0]) * odds[:, 1]])
        prior = prior * np.minimum(1.0, MOST_BY_SETTING / prior.sum(1, keepdims=True))
        loss = np.maximum(self.loss_s, LEAST_LOSS_SCALES * scale)
        away = residual[:, None, None] - loss[None, :, None] * _LOSS_NODES
        each = _density(away, scale, nu) / _LOSS_NODES.size
        wrong = each.sum(2)
        chance = np.column_stack(
            [(1 - prior.sum(1)) * _density(residual, scale, nu), prior * wrong * (1 - self.noted_share)]
        )
        shares = chance / np.maximum(chance.sum(1, keepdims=True), 1e-300)
        said = self.noted > 0
        shares[said] = np.eye(3)[self.noted[said].astype(int)]
        self.shares = shares
        lost = loss * (each @ _LOSS_NODES) / np.maximum(wrong, 1e-300)
        self._learn(shares, lost)
        return np.asarray(shares[:, 0])

    def _learn(self, shares: Array, lost: Array) -> None:
        gone = shares[:, 1:]
        self.loss_s = (LOSS_RUNS * LOSS_S + (gone * lost).sum(0)) / (LOSS_RUNS + gone.sum(0))
        self.noted_share = float((NOTED[0] + (self.noted > 0).sum()) / (sum(NOTED) + gone.sum()))
        for k, (target, weight) in enumerate(self._targets(shares)):
            self.weights[k] = _logistic(
                self.columns, target, weight, self.prior_mean[k], self.prior_sd[k], self.weights[k]
            )

    @staticmethod
    def _targets(shares: Array) -> list[tuple[Array, Array]]:
        """Target and weight of both logistic parts: spun or not; bogged or not where not spun."""
        stays = np.maximum(1 - shares[:, 1], 1e-12)
        return [(shares[:, 1], np.ones(shares.shape[0])), (shares[:, 2] / stays, stays)]

    def found(self) -> Regimes:
        """Return what was learnt, with its uncertainty."""
        covs = [
            _spread(self.columns, target, weight, self.weights[k], self.prior_sd[k])
            for k, (target, weight) in enumerate(self._targets(self.shares))
        ]
        runs = LOSS_RUNS + self.shares[:, 1:].sum(0)
        return Regimes(
            names=self.names,
            weights=self._as_often(covs[0]),
            covs=np.stack(covs),
            loss_s=self.loss_s,
            loss_log_sd=1 / np.sqrt(LOSS_SHAPE * runs),
            shares=self.shares,
            noted=self.noted > 0,
            noted_share=self.noted_share,
        )

    def _as_often(self, cov: Array) -> Array:
        """Return the log odds, those of spinning moved so that the runs spin as often as they did.

        Notes
        -----
        Where hardly any launch spins, the likelihood falls off on one side only, and a normal about its top
        says too much: 1 in 40 of 120 runs without a spin. The mean chance over the runs is held to their mean
        share, along with what is usual of any car; beyond them the slopes go on as before. Bogging, of which
        the runs mostly tell nothing, keeps what is thought beforehand.
        """
        log_odds, sd = INTERCEPT[0]
        usual = OFTEN_RUNS * float(
            _mean_chance(np.ones((1, 1)), np.array([log_odds]), np.array([[sd**2]]))[0]
        )
        often = (float(self.shares[:, 1].sum()) + usual) / (OFTEN_RUNS + len(self.shares))
        moved, first = self.weights.copy(), self.names.index("intercept")
        low, high = moved[0, first] - _MOST_SHIFT, moved[0, first] + _MOST_SHIFT
        for _ in range(_HALVINGS):
            moved[0, first] = (low + high) / 2
            if float(_mean_chance(self.columns, moved[0], cov).mean()) > often:
                high = moved[0, first]
            else:
                low = moved[0, first]
        return np.asarray(moved)


def _mean_chance(columns: Array, weights: Array, cov: Array) -> Array:
    """Mean over what is not known of one logistic part. Shape (n,).

    Notes
    -----
    The mean of a logistic of a normal, E s(x) = s(m / sqrt(1 + pi v / 8)).

    References
    ----------
    D. J. C. MacKay, Neural Computation 4 (1992) 720-736 [memory].
    """
    spread = ((columns @ cov) * columns).sum(1)
    return np.asarray(expit(columns @ weights / np.sqrt(1 + np.pi * spread / 8)))


def _density(away: Array, scale: float, nu: float) -> Array:
    """Density of a run's noise: Student's t, or a normal for nu infinite. [1/s]."""
    z2 = (away / scale) ** 2
    if not np.isfinite(nu):
        return np.asarray(np.exp(-0.5 * z2) / (scale * np.sqrt(2 * np.pi)))
    constant = gammaln((nu + 1) / 2) - gammaln(nu / 2) - 0.5 * np.log(nu * np.pi)
    return np.asarray(np.exp(constant - (nu + 1) / 2 * np.log1p(z2 / nu)) / scale)


def _logistic(x: Array, target: Array, weight: Array, mean: Array, sd: Array, start: Array) -> Array:
    """Coefficients at the top of the posterior, by a few Newton steps. Shape (d,)."""
    at = start
    for _ in range(_NEWTON):
        chance = expit(x @ at)
        slope = x.T @ (weight * (target - chance)) - (at - mean) / sd**2
        bend = (x * (weight * chance * (1 - chance))[:, None]).T @ x + np.diag(sd**-2.0)
        step = np.linalg.solve(bend, slope)
        at = at + step * min(1.0, _MOST_STEP / max(float(np.abs(step).max()), 1e-12))
    return np.asarray(at)


def _spread(x: Array, target: Array, weight: Array, at: Array, sd: Array) -> Array:
    """Covariance of the coefficients; what sorting left open is taken off what the runs tell.

    Notes
    -----
    Observed information = complete less missing: sum w (p (1 - p) - r (1 - r)) x x', nothing below the
    prior's.

    References
    ----------
    T. A. Louis, J. R. Stat. Soc. B 44 (1982) 226-233 [memory].
    """
    chance = expit(x @ at)
    known = weight * (chance * (1 - chance) - target * (1 - target))
    scaled = (x * sd[None]).T @ (known[:, None] * x * sd[None])
    values, axes = np.linalg.eigh((scaled + scaled.T) / 2)
    root = axes * sd[:, None]
    return np.asarray((root / (1 + np.maximum(values, 0.0))) @ root.T)
