"""What is so in a simulated season: effects, parts of a change, and what any setting is worth.

Names of adjustments are the model's (`preload`, `launch_rpm`, `track_temp`, ...); everything is read off
the launch table, so that truth and data share one smooth function and no sampling error.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import TypeVar

import numpy as np
from scipy.optimize import minimize

from sample_timeslips.launch_simulation import CAR, Conditions, Floats, Settings, peak_grip
from tests.simulation.launch_table import AXES, GRIP_AXIS, launch_table, points

SETTING_NAMES = {
    "preload": "preload_turns",
    "counterweight": "counterweight_g",
    "launch_rpm": "launch_rpm",
    "tire_pressure": "tire_pressure_psi",
    "shock_clicks": "shock_clicks",
}
STEPS = {
    "preload": 1.0,
    "counterweight": 1.0,
    "launch_rpm": 100.0,
    "tire_pressure": 1.0,
    "shock_clicks": 1.0,
    "wing_hole": 1.0,
    "track_temp": 10.0,
    "air_density": 0.01,
    "wear": 0.010,
    "lane": 1.0,
}
"""Practical steps; air density's is a share of the median density."""
WITHOUT_EFFECT = ("tire_pressure", "wing_hole", "lane")
_GAUSS_X, _GAUSS_W = np.polynomial.legendre.leggauss(3)
_CHUNK = 256
State = TypeVar("State", Settings, Conditions)


@dataclass(frozen=True, slots=True)
class Truth:
    """True state of every run of one season, and the questions it answers.

    Attributes
    ----------
    settings, conditions
        Arrays over runs, the unseen grip of the night included.
    event_effect_s
        The night's own part of every time, shape (runs,).
    nulls
        Adjustments that do nothing.
    event
        Event number of each run, shape (runs,).
    """

    settings: Settings
    conditions: Conditions
    event_effect_s: Floats
    nulls: frozenset[str]
    event: np.ndarray = field(repr=False)

    def step_effects(self, response: str = "t60", used: np.ndarray | None = None) -> dict[str, float]:
        """True average effect per practical step over the runs used: mean of slope times step [s].

        Parameters
        ----------
        response
            t60, t60_330 or t330.
        used
            Mask or indices of the runs used; all when not given.
        """
        chosen = slice(None) if used is None else used
        slopes = self._slopes(_taken(self.settings, chosen), _taken(self.conditions, chosen), response)
        out = {name: float(slope.mean() * self._step(name)) for name, slope in slopes.items()}
        return out | dict.fromkeys(WITHOUT_EFFECT, 0.0)

    def change_parts(
        self, first: np.ndarray, second: np.ndarray, response: str = "t60", seed: int = 0
    ) -> dict[str, float]:
        """True parts of the change of the mean expected time from runs ``first`` to runs ``second`` [s].

        Notes
        -----
        Mean over pairs (a, b) of the integral along the straight line from a to b of the slope, factor by
        factor, by three Gauss nodes. Not all pairs are taken: every run as often as any other, which is
        exact for straight-line effects. ``track`` is the night's own part and its unseen grip.
        """
        a, b = _balanced_pairs(np.arange(self.event.size)[first], np.arange(self.event.size)[second], seed)
        parts = dict.fromkeys((*WITHOUT_EFFECT, "track"), 0.0)
        for x, w in zip(_GAUSS_X, _GAUSS_W, strict=True):
            s = 0.5 * (1 + x)
            settings = _between(self.settings, a, b, s)
            conditions = _between(self.conditions, a, b, s)
            for name, slope in self._slopes(settings, conditions, response, with_grip=True).items():
                part = float((slope * self._moved(name, a, b)).mean() * 0.5 * w)
                key = "track" if name == "grip" else name
                parts[key] = parts.get(key, 0.0) + part
        if response != "t60_330":
            parts["track"] += float((self.event_effect_s[b] - self.event_effect_s[a]).mean())
        return parts

    def expected_s(
        self,
        setting: Mapping[str, float],
        conditions: Mapping[str, float],
        response: str = "t60",
    ) -> float:
        """True expected time of one setting under given conditions, on a night like any other [s].

        Parameters
        ----------
        setting
            By the model's names; those left out are at the season's medians.
        conditions
            ``track_temp_degf``, ``air_density_kg_per_m3``, ``growth_in``; medians when left out.
        """
        return float(self._times(*self._state(setting, conditions), response)[0])

    def difference_s(
        self,
        change_to: Mapping[str, float],
        stay: Mapping[str, float],
        conditions: Mapping[str, float],
        response: str = "t60",
    ) -> float:
        """What changing from one setting to another is truly worth [s], minus = quicker."""
        return self.expected_s(change_to, conditions, response) - self.expected_s(stay, conditions, response)

    def best_in_box(
        self,
        box: Mapping[str, tuple[float, float]],
        stay: Mapping[str, float],
        conditions: Mapping[str, float],
        response: str = "t60",
    ) -> tuple[dict[str, float], float]:
        """Give the truly best setting of a box and its expected time [s].

        Parameters
        ----------
        box
            Least and most of each adjustment that may be changed, by the model's names.
        stay
            The setting all others keep.
        """
        names = [name for name in box if name in SETTING_NAMES and name not in self.nulls]
        low, high = (np.array([box[name][k] for name in names]) for k in (0, 1))
        trial = np.random.default_rng(0).random((400, len(names))) * (high - low) + low
        settings, place = self._state(stay, conditions)
        many = replace(settings, **{SETTING_NAMES[n]: trial[:, k] for k, n in enumerate(names)})
        start = trial[int(self._times(many, place, response).argmin())]

        def time(x: Floats) -> float:
            here = replace(
                settings, **{SETTING_NAMES[n]: np.array([v]) for n, v in zip(names, x, strict=True)}
            )
            return float(self._times(here, place, response)[0])

        scale = np.where(high > low, high - low, 1.0)
        found = minimize(
            lambda u: time(low + u * scale),
            (start - low) / scale,
            bounds=[(0, 1)] * len(names),
            method="L-BFGS-B",
        )
        best = low + np.clip(found.x, 0, 1) * scale
        return dict(zip(names, best.tolist(), strict=True)), min(float(found.fun), time(start))

    def _step(self, name: str) -> float:
        scale = float(np.median(self.conditions.air_density_kg_per_m3)) if name == "air_density" else 1.0
        return STEPS[name] * scale

    def _moved(self, name: str, a: np.ndarray, b: np.ndarray) -> Floats:
        """How far a factor differs between the runs of each pair."""
        column = {
            "track_temp": self.conditions.track_temp_degf,
            "air_density": self.conditions.air_density_kg_per_m3,
            "wear": self.conditions.growth_in,
            "grip": self.conditions.grip_factor,
        }.get(name)
        if column is None:
            column = getattr(self.settings, SETTING_NAMES[name])
        moved: Floats = column[b] - column[a]
        return moved

    def _slopes(
        self, settings: Settings, conditions: Conditions, response: str, with_grip: bool = False
    ) -> dict[str, Floats]:
        """Slope of the expected time in each factor's own unit at each state."""
        at = points(settings, conditions)
        both = np.concatenate(
            [launch_table().slopes(at[i : i + _CHUNK]) for i in range(0, len(at), _CHUNK)], axis=1
        )
        by_axis = dict(zip(AXES, _response(both, response).T, strict=True))
        unit_grip = peak_grip(conditions.track_temp_degf)
        per_degf = -(unit_grip * (1 - unit_grip / CAR.peak_grip)) / CAR.soft_track_width_degf
        out = {
            "preload": by_axis["turns_left"],
            "counterweight": by_axis["counterweight_g"],
            "launch_rpm": by_axis["launch_rpm"],
            "shock_clicks": by_axis["shock_clicks"],
            "air_density": by_axis["air_density_kg_per_m3"],
            "wear": -CAR.threads_per_inch * by_axis["turns_left"],
            "track_temp": by_axis[AXES[GRIP_AXIS]] * per_degf * conditions.grip_factor,
        }
        if with_grip:
            out["grip"] = by_axis[AXES[GRIP_AXIS]] * unit_grip
        return out

    def _times(self, settings: Settings, conditions: Conditions, response: str) -> Floats:
        return _response(launch_table().times(points(settings, conditions)), response)

    def _state(
        self, setting: Mapping[str, float], conditions: Mapping[str, float]
    ) -> tuple[Settings, Conditions]:
        """One setting and place as arrays of one, the season's medians where nothing is said."""
        spoken = {SETTING_NAMES[name]: v for name, v in setting.items() if name in SETTING_NAMES}
        one = Settings(
            *(
                np.array([spoken.get(f.name, np.median(getattr(self.settings, f.name)))])
                for f in fields(Settings)
            )
        )
        known = dict(conditions) | {"grip_factor": 1.0}
        place = Conditions(
            *(
                np.array([known.get(f.name, np.median(getattr(self.conditions, f.name)))])
                for f in fields(Conditions)
            )
        )
        return one, place


def _response(both: Floats, response: str) -> Floats:
    """Pick t60, t330 or the section between them from arrays of (t60, t330)."""
    if response == "t60":
        return both[0]
    if response == "t330":
        return both[1]
    if response == "t60_330":
        out: Floats = both[1] - both[0]
        return out
    raise ValueError(f"No response {response!r} on the test bench; one of t60, t60_330, t330.")


def _taken(state: State, chosen: np.ndarray | slice) -> State:
    return type(state)(*(getattr(state, f.name)[chosen] for f in fields(state)))


def _between(state: State, a: np.ndarray, b: np.ndarray, s: float) -> State:
    return type(state)(
        *(getattr(state, f.name)[a] * (1 - s) + getattr(state, f.name)[b] * s for f in fields(state))
    )


def _balanced_pairs(first: np.ndarray, second: np.ndarray, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Pairs in which every run of each side comes up equally often; all pairs when they are few."""
    if first.size * second.size <= 400:
        a, b = np.meshgrid(first, second, indexing="ij")
        return a.ravel(), b.ravel()
    once = math.lcm(first.size, second.size)
    times = max(1, round(400 / once))
    rng = np.random.default_rng(seed)
    a = np.concatenate([np.resize(rng.permutation(first), once) for _ in range(times)])
    b = np.concatenate([np.resize(rng.permutation(second), once) for _ in range(times)])
    return a, b
