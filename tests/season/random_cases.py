"""Random logbooks, limits and knowledge, for properties that must hold whatever was learnt.

Fitting ten thousand seasons would take hours and would mostly give sensible posteriors. So a few seasons
are fitted for their basis, and everything the search looks at is drawn afresh: what was tried, what the
coefficients are believed to be, the limits, the present setting (often past a limit) and the forecast.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from pipeline.decide.limits import Limits, car_limits
from pipeline.decide.results import Forecast
from pipeline.garage.logbook import Garage
from pipeline.season.response_fit import ResponseFit, fit_response
from pipeline.season.spreads import Layout, Nodes
from tests.season.seasons import FACTS, FACTS_WITHOUT_GEOMETRY, season

SCREWS, SPRING_RATE, SPRINGS = 8, 150.0, 8
FACTORS = ("preload", "counterweight", "launch_rpm", "tire_pressure", "shock_clicks")


@dataclass(frozen=True)
class Case:
    """One random question, and the limits once more as plain numbers."""

    fit: ResponseFit
    limits: Limits
    present: dict[str, float]
    forecast: Forecast
    quick_only: bool
    bounds: dict[str, tuple[float, float]]
    reach: dict[str, float]


@cache
def _base(kind: int) -> ResponseFit:
    runs = season(kind, runs=40, events=4)
    if kind >= 2:
        psi = np.random.default_rng(kind).choice([9.5, 10.0, 10.5], runs.height)
        runs = runs.with_columns(tire_pressure_psi=psi)
    return fit_response(runs, FACTS if kind % 2 else FACTS_WITHOUT_GEOMETRY)


def random_case(seed: int) -> Case:
    """Draw one case; the same seed gives the same."""
    rng = np.random.default_rng(seed)
    fit = _believing(rng, _base(int(rng.integers(4))))
    garage, bounds, reach, wear = _random_garage(rng)
    runs = fit.runs.with_columns(wear_in=np.full(fit.runs.height, wear))
    limits = car_limits(garage, "Marigold", runs)
    if bounds.get("preload", (0.0, 1.0))[0] > bounds.get("preload", (0.0, 1.0))[1]:
        del bounds["preload"]  # no turns are both safe and enough: nothing may be said of preload
    forecast = Forecast(None, float(rng.uniform(40, 150)), None, None, None, None, None, ())
    return Case(fit, limits, _present(rng, bounds), forecast, bool(rng.random() < 0.3), bounds, reach)


def _believing(rng: np.random.Generator, base: ResponseFit) -> ResponseFit:
    """The same basis with random runs tried and random beliefs."""
    nodes, width = int(rng.integers(1, 4)), base.posterior.prior.size
    roots = rng.normal(0, 10 ** rng.uniform(-4, -2), (nodes, width, width))
    posterior = replace(
        base.posterior,
        mix=rng.dirichlet(np.ones(nodes)),
        nodes=_spreads(base, nodes),
        noise=np.full(nodes, 0.011),
        means=rng.normal(0, 10 ** rng.uniform(-3.5, -1.5), (nodes, width)),
        covs=roots @ np.swapaxes(roots, 1, 2) / width,
    )
    varies = np.array([factor.varies for factor in base.spec.factors])
    state = base.state + varies * rng.normal(0, rng.uniform(0.1, 3.0), base.state.shape)
    return replace(base, posterior=posterior, state=state)


def _spreads(base: ResponseFit, nodes: int) -> Nodes:
    """The same spreads at every node."""
    sigma, tau, omega, night = (np.full(nodes, sd) for sd in (0.009, 0.006, 0.001, 0.001))
    layout = Layout(base.spec.random_kinds)
    return Nodes.of(layout, sigma, np.ones(nodes), (tau, omega, night), np.zeros(nodes))


def _random_garage(rng):
    """garage.toml with random limits, some lines left out; the limits as numbers; the wear."""
    car, clutch, shock = {"name": "Marigold", "clutch": "six"}, {"name": "six"}, {"name": "shock_clicks"}
    bounds, wear = {}, float(rng.choice([0.0, rng.uniform(-0.01, 0.03)]))
    if rng.random() < 0.85:
        low = float(rng.uniform(4000, 7000))
        bounds["launch_rpm"] = (low, low + float(rng.uniform(0, 2500)))
        car["launch_rpm_limits"] = list(bounds["launch_rpm"])
    if rng.random() < 0.85:
        low = float(rng.uniform(6, 11))
        bounds["tire_pressure"] = (low, low + float(rng.uniform(0, 6)))
        car["tire_pressure_limits"] = list(bounds["tire_pressure"])
    if rng.random() < 0.85:
        low = float(rng.uniform(0, 5))
        bounds["counterweight"] = (low, low + float(rng.uniform(0, 10)))
        clutch["counterweight_limits"] = list(bounds["counterweight"])
        if rng.random() < 0.4:
            pieces = {
                "bolt short": rng.uniform(3, 9),
                "bolt long": rng.uniform(6, 12),
                "nut": rng.uniform(1, 5),
            }
            clutch["counterweight_hardware"] = {name: round(float(g), 1) for name, g in pieces.items()}
    if rng.random() < 0.85:
        base, least = float(rng.uniform(300, 420)), float(rng.uniform(300, 460))
        per_turn, safe = float(rng.uniform(5, 12)), float(rng.uniform(1, 6))
        clutch |= {"base_load": base, "least_base_load": least, "load_per_turn": per_turn, "safe_turns": safe}
        clutch |= {"spring_rate": SPRING_RATE, "screws": SCREWS, "springs": SPRINGS}
        lost = max(wear, 0.0) * SPRING_RATE * SPRINGS
        bounds["preload"] = (max(0.0, (least - base + lost) / (per_turn * SCREWS)), safe)
    if rng.random() < 0.85:
        low = float(rng.integers(0, 8))
        bounds["shock_clicks"] = (low, low + float(rng.integers(0, 8)))
        shock |= {"limits": list(bounds["shock_clicks"]), "quick": bool(rng.random() < 0.5)}
    reach = {
        "preload": 1.5,
        "counterweight": 2.0,
        "launch_rpm": 300.0,
        "tire_pressure": 1.0,
        "shock_clicks": 2.0,
    }
    garage = Garage.model_validate({"car": [car], "clutch": [clutch], "adjustment": [shock]})
    return garage, bounds, reach, wear


def _present(rng, bounds):
    """A present setting: mostly inside the limits, at times just on them or past them."""
    usual = {
        "preload": (0, 6),
        "counterweight": (0, 12),
        "launch_rpm": (4000, 8000),
        "tire_pressure": (7, 15),
    }
    usual["shock_clicks"] = (0, 12)
    present = {}
    for name in FACTORS:
        low, high = bounds.get(name, usual[name])
        value = rng.uniform(low, high) if low < high else low
        if rng.random() < 0.3:
            value = rng.choice([low, high])
        if rng.random() < 0.05:
            value = rng.choice([low - 0.3, high + 0.3]) if name != "launch_rpm" else high + 200
        present[name] = float(value)
    return present
