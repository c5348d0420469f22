"""How honest the model is in worlds made by someone who had not seen it: one table.

    python -m tests.season.worlds_study 200 [world ...] [--first 5000]

takes 200 seasons a world from a first seed on and prints, for every world, how often 95 % intervals hold the
true average step effects and the true parts of the season's change, how often something that does nothing is
said to have moved the time, how many true effects are found, and whether the largest mover comes first in
the ranking. The truth is read off the world: slopes along straight lines of its own mean times for the
effects on average, and of its times of clean launches for the parts of the season's change, which are of
those.
"""

from __future__ import annotations

from argparse import ArgumentParser
from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, fields

import numpy as np

from pipeline.season.average_effect import on_average
from pipeline.season.effects import effects
from pipeline.season.response_fit import ResponseFit, fit_response
from pipeline.season.results import Response, Spread
from pipeline.season.season_change import OTHERS, TRACK, first_and_last_third
from pipeline.season.shares import spread
from tests.simulation.worlds.frame import State
from tests.simulation.worlds.making import WORLDS, Season, world

SLIGHT_S = 1e-4  # a tenth of a thousandth is zero in print: covered within it
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(3)
_NODES, _WEIGHTS = (_NODES + 1) / 2, _WEIGHTS / 2
_NUDGE = {
    "preload": 1e-3, "counterweight": 1e-3, "launch_rpm": 0.1, "tire_pressure": 1e-3, "shock_clicks": 1e-3,
    "wing_hole": 1e-3, "track_temp": 0.01, "air_density": 1e-5, "wear": 1e-5,
}  # fmt: skip
"""Step of a forward difference, in each factor's own unit; times bend by less than 1 % of a slope in it."""


@dataclass
class Tally:
    """What was found in the seasons of one world; lists hold one entry a season and factor."""

    covered: dict[str, list[bool]] = field(default_factory=lambda: defaultdict(list))
    width_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    bias_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    part_covered: dict[str, list[bool]] = field(default_factory=lambda: defaultdict(list))
    part_width_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    part_bias_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    told: dict[str, list[bool]] = field(default_factory=lambda: defaultdict(list))
    told_covered: dict[str, list[bool]] = field(default_factory=lambda: defaultdict(list))
    null_moved: list[bool] = field(default_factory=list)
    likely_is_null: list[bool] = field(default_factory=list)
    real_found: list[bool] = field(default_factory=list)
    large_found: list[bool] = field(default_factory=list)
    largest_first: list[bool] = field(default_factory=list)
    pair_together: list[bool] = field(default_factory=list)

    def line(self, name: str) -> str:
        """Lay the world out as one row of a Markdown table."""
        least = min(self.covered, key=lambda one: float(np.mean(self.covered[one])))
        seasons = max((len(values) for values in self.part_covered.values()), default=0)
        often = [one for one, values in self.part_covered.items() if 2 * len(values) >= seasons]
        worst = min(often, key=lambda one: float(np.mean(self.part_covered[one])), default="")
        cells = [
            name,
            share(v for values in self.covered.values() for v in values),
            f"{least} {share(self.covered[least])}",
            share(v for values in self.part_covered.values() for v in values),
            f"{worst} {share(self.part_covered[worst])}" if worst else "-",
            share(self.null_moved),
            f"{share(self.likely_is_null)} of {len(self.likely_is_null)}",
            share(self.real_found),
            share(self.large_found),
            share(self.largest_first),
            share(self.pair_together),
        ]
        return f"| {' | '.join(cells)} |"

    def line_of_told(self, name: str) -> str:
        """Say of what is shown only where the runs say something how often it was, and its spread true."""
        cells = [
            f"{one} {share(shown)}"
            + (f" (held {share(held)} of {len(held)})" if (held := self.told_covered.get(one)) else "")
            for one, shown in self.told.items()
        ]
        return f"{name}: {', '.join(cells)}"


HEADING = (
    "| world | effects held | least | parts held | least | null moved | likely, null | found | large found "
    "| largest first or tied | pair kept together |\n|" + " --- |" * 11
)


def share(values: Iterable[bool]) -> str:
    """Write a share with two decimals; a dash of none."""
    whole = list(values)
    return f"{np.mean(whole):.2f}" if whole else "-"


def slopes(
    season: Season, state: State, names: Collection[str], response: Response, *, gone_wrong: bool = False
) -> dict[str, np.ndarray]:
    """True slopes of a clean launch's time in factors at each run, in their own units; or of the mean time.

    Nil where a launch hardly ever goes well.
    """
    row = 0 if response == "t60" else 1
    times = season.truth.means if gone_wrong else season.truth.clean
    here, out = times(state)[row], {}
    for name in names:
        there = times(state.changed(**{name: getattr(state, name) + _NUDGE[name]}))[row]
        out[name] = np.nan_to_num((there - here) / _NUDGE[name])
    return out


def shares(season: Season, start: State, end: State, names: Iterable[str], response: Response) -> dict:
    """True share of each factor in the change from one state to another, run by run.

    What else differs between the states is met half as at the one, half as at the other.
    """
    away = {name: getattr(end, name) - getattr(start, name) for name in names}
    out = {name: np.zeros(start.preload.size) for name in away}
    moved = [name for name in away if np.any(away[name])]
    others = [f.name for f in fields(State) if f.name not in away]
    same = all(np.array_equal(getattr(start, name), getattr(end, name)) for name in others)
    bases = (start,) if same else (start, end)
    for base in bases:
        for node, weight in zip(_NODES, _WEIGHTS, strict=True):
            at = base.changed(**{name: getattr(start, name) + node * away[name] for name in away})
            for name, slope in slopes(season, at, moved, response).items():
                out[name] += weight / len(bases) * slope * away[name]
    return out


def true_parts(season: Season, fit: ResponseFit, state: State, shown: Collection[str]) -> dict[str, float]:
    """True parts of the change from the first to the last third, and of the track what is left."""
    third, count = fit.runs.height // 3, fit.runs.height
    rng = np.random.default_rng(0)
    first, last = np.arange(third), np.arange(count - third, count)
    a = np.concatenate([rng.permutation(first) for _ in range(6)])
    b = np.concatenate([rng.permutation(last) for _ in range(6)])
    names = [name for name in fit.spec.names if name in _NUDGE]
    parts = {
        k: float(v.mean())
        for k, v in shares(season, state.take(a), state.take(b), names, fit.response).items()
    }
    row = 0 if fit.response == "t60" else 1
    clean, mean = season.truth.clean(state)[row], season.truth.means(state)[row]
    mean = np.where(np.isfinite(clean), clean, mean)
    written = written_s(season, state, fit.response)
    parts |= {name: float(v[last].mean() - v[first].mean()) for name, v in written.items()}
    usual = float(np.median(state.preload))
    parts["service"] = _of_service(season, state.take(a), state.take(b), usual, row)
    known = sum(parts[name] for name in fit.spec.parts if name in parts)
    parts[OTHERS] = sum(v for name, v in parts.items() if name in fit.spec.parts and name not in shown)
    return parts | {TRACK: float(mean[last].mean() - mean[first].mean()) - known}


def written_s(season: Season, state: State, response: Response) -> dict[str, np.ndarray]:
    """True parts of each run's time beside the launch's own form, of what the racer has written down."""
    others, scale = season.truth.others, 1.0 if response == "t60" else 1.15
    found = {name: scale * v for name, v in (others.written(state) | {"night": others.night(state)}).items()}
    return found | {"headwind": (response != "t60") * others.wind_s_per_mph * state.headwind}


def _of_service(season: Season, start: State, end: State, usual: float, row: int) -> float:
    """Mean change of the times by what services changed of preload's effect, counted from its usual turns."""

    def means(state: State) -> np.ndarray:
        form, slick = season.truth.form.means, season.truth.others.slickness(state)
        away = form(state, slick) - form(state.changed(preload=np.full_like(state.preload, usual)), slick)
        out: np.ndarray = away[row]
        return out

    there = means(start.changed(service=end.service)) - means(start)
    back = means(end) - means(end.changed(service=start.service))
    return float((there + back).mean() / 2)


def tally(name: str, seeds: Iterable[int], response: Response = "t60") -> Tally:
    """Fit the seasons of one world and hold the answers to its truth."""
    found = Tally()
    for seed in seeds:
        season = world(name, seed)
        fit = fit_response(season.runs, season.facts, response)
        written = fit.runs.select("run_id").join(season.runs, on="run_id", how="left", maintain_order="left")
        state = season.known.state(written)  # not of the fit's runs, where what is missing was filled in
        _hold_effects(found, fit, season, state)
        made = spread(fit)
        _hold_ranking(found, fit, season, state, made)
        _hold_told(found, fit, season, state, made)
        change = first_and_last_third(fit)
        shown = {part.factor for part in change.parts} if change is not None else set()
        truth = true_parts(season, fit, state, shown) if change is not None else {}
        for part in change.parts if change is not None else ():
            if part.factor not in truth:
                continue
            low, high = part.low_s - SLIGHT_S, part.high_s + SLIGHT_S
            found.part_covered[part.factor].append(bool(low <= truth[part.factor] <= high))
            found.part_width_s[part.factor].append(part.high_s - part.low_s)
            found.part_bias_s[part.factor].append(part.seconds - truth[part.factor])
    return found


def _hold_effects(found: Tally, fit: ResponseFit, season: Season, state: State) -> None:
    verdicts = {}
    each = slopes(season, state, [n for n in fit.spec.names if n in _NUDGE], fit.response, gone_wrong=True)
    for effect in effects(fit):
        name = effect.adjustment
        if name not in each:
            continue
        step = fit.posterior.contrast(fit.slope(name))
        true = float(each[name].mean()) * fit.spec.factor(name).step
        clean = float(step.mean[0]), float(step.low[0]), float(step.high[0])
        mean, low, high = on_average(fit, name, step) or clean
        found.covered[name].append(low <= true <= high)
        found.width_s[name].append(clean[2] - clean[1])
        found.bias_s[name].append(mean - true)
        verdicts[name] = effect
        if not effect.is_setting:
            continue
        said = effect.verdict in {"moved", "likely"}
        if name in season.nulls:
            found.null_moved.append(effect.verdict == "moved")
        else:
            found.real_found.append(said)
            found.large_found += [said] if abs(true) >= high - low else []
        found.likely_is_null += [name in season.nulls] if effect.verdict == "likely" else []
    pair = season.pair
    if pair is not None and all(name in verdicts for name in pair):
        found.pair_together.append(all(verdicts[name].verdict == "inseparable" for name in pair))


def _hold_ranking(
    found: Tally, fit: ResponseFit, season: Season, state: State, ranked: Iterable[Spread]
) -> None:
    made = [one for one in ranked if one.is_setting]
    if not made or len(season.nulls) >= len(made):
        return
    names = [name for name in fit.spec.names if name in _NUDGE]
    middle = state.changed(**{n: np.full(state.preload.size, np.median(getattr(state, n))) for n in names})
    true = {n: float(v.std()) for n, v in shares(season, middle, state, names, fit.response).items()}
    largest = max((one.adjustment for one in made), key=lambda n: true[n])
    found.largest_first.append(largest in {made[0].adjustment, *made[0].tied_with})


def _hold_told(
    found: Tally, fit: ResponseFit, season: Season, state: State, ranked: Iterable[Spread]
) -> None:
    """Of what is shown only where the runs say something: whether it was, and how true its spread is."""
    true, shown = written_s(season, state, fit.response), {one.adjustment: one for one in ranked}
    for name, factors in fit.spec.parts.items():
        if name in true and fit.spec.factors[factors[0]].kind.is_told:
            found.told[name].append(name in shown)
            if name in shown:
                sd = float(true[name].std())
                found.told_covered[name].append(shown[name].low_s - SLIGHT_S <= sd <= shown[name].high_s)


def main(seasons: int, names: list[str], first: int = 0) -> None:
    """Print the table."""
    print(HEADING)  # noqa: T201
    told = []
    for name in names or WORLDS:
        found = tally(name, range(first, first + seasons))
        told.append(found.line_of_told(name))
        print(found.line(name), flush=True)  # noqa: T201
    print("\nShown, of what is shown only where the runs say something of it:", *told, sep="\n")  # noqa: T201


if __name__ == "__main__":
    asked = ArgumentParser()
    asked.add_argument("seasons", type=int, nargs="?", default=200)
    asked.add_argument("worlds", nargs="*", choices=[[], *WORLDS])
    asked.add_argument("--first", type=int, default=0)
    given = asked.parse_args()
    main(given.seasons, given.worlds, given.first)
