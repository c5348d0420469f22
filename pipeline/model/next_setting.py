"""What to set next: stay, or the most cautious change that very likely beats staying."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from pipeline.model import basis
from pipeline.model.limits import Limit, Limits
from pipeline.model.response_fit import ResponseFit
from pipeline.model.results import Forecast, NextSetting, SettingChoice
from pipeline.model.sums import Array
from pipeline.model.trust_region import TrustRegion, trust_region
from pipeline.model.words import listed, thousandths

GATE = 0.9
"""A change is offered only when its chance to beat staying is at least this: below it such chances were too
hopeful in simulated seasons (said .86, was .63 to .73). Every single move of several must have it too: with
that, something that does nothing went along in 7 of 100 simulated seasons, without it in 37."""

CAUTION_SD = 1.0
"""The best candidate has the least expected change plus this many sd of it."""

FAR_DEGF = 15.0
"""Beyond the track temperatures run so far by more than this, nothing is suggested. [judgement]"""

WORTH_S = 0.5e-3
"""What moving one more adjustment must gain: half of the last digit of a timeslip. [judgement]"""

_MOST_CANDIDATES = 40_000
_ROUNDS = 6
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class _Search:
    """One question: from ``here``, where to, inside the limits and the region.

    ``here`` is the present state under the forecast, shape (F,); ``choices`` holds the values that each
    movable adjustment (by index in the state) may take, in steps; ``limits`` go with it in order.
    """

    fit: ResponseFit
    here: Array
    region: TrustRegion
    limits: tuple[Limit, ...]
    indices: tuple[int, ...]
    choices: tuple[Array, ...]

    def scores(self, states: Array) -> tuple[Array, Array]:
        """Give the expected change from ``here`` and its sd. [s]. Two of shape (n,)."""
        change = self._change(states)
        width = change.shape[1]
        mean = change @ self.fit.posterior.mean[:width]
        cov = self.fit.posterior.cov[:width, :width]
        return mean, np.sqrt(np.maximum(np.einsum("np,np->n", change @ cov, change), 0.0))

    def cautious(self, states: Array) -> Array:
        """Give what is minimised: expected change, one sd, and the trouble of every move. [s]. Shape (n,)."""
        mean, sd = self.scores(states)
        moves: Array = (np.abs(states - self.here) > _SAME).sum(1).astype(np.float64)
        return mean + CAUTION_SD * sd + WORTH_S * moves

    def _change(self, states: Array) -> Array:
        return basis.design(self.fit.spec, states) - basis.design(self.fit.spec, self.here)


def suggest_next(
    fit: ResponseFit,
    limits: Limits,
    present: Mapping[str, float],
    forecast: Forecast,
    *,
    quick_only: bool = False,
) -> NextSetting:
    """Suggest the next setting under a forecast.

    Parameters
    ----------
    fit
        The fitted response, usually the 60 ft time.
    limits
        What may be moved and how far; adjustments without limits stay.
    present
        The setting in force, in own units.
    forecast
        Conditions of the runs to come. An unknown part counts as the middle of the runs so far.
    quick_only
        Move only what can be changed between rounds.

    Returns
    -------
    NextSetting
        ``change_to`` is None when staying is the honest answer.

    Notes
    -----
    Candidates: all settable values within reach of the present one, inside the limits of garage.toml and
    the trust region. With D = x_new - x_now at the forecast, the least D'b + sd(D'b) wins, and is offered
    when P(D'b < 0) >= 0.9. Event, air and wear cancel in D. Of several moves each must earn its
    place: one without .9 chance to beat the same suggestion less that move is dropped, weakest first, and
    the search made again. A present setting past a limit is answered with the best one inside, whatever
    its chance.
    """
    settings = known_settings(fit, present)
    here = present_state(fit, settings, forecast)
    passed = limits.passed(settings)
    movable = [
        limit
        for limit in limits.by_name.values()
        if limit.name in fit.spec.names
        and (fit.spec.factor(limit.name).varies or not limit.allows(settings[limit.name]))
        and (limit.is_quick or not quick_only)
    ]
    fixed = settings.keys() & limits.by_name.keys() - {limit.name for limit in movable}
    search = _search(fit, here, movable, settings)
    far = _too_far(fit, forecast)
    best = here if far and not passed else _earned(search)
    gain = fit.difference(here, best)
    moved = bool(np.abs(best - here).max(initial=0.0) > _SAME)
    chance = float(gain.prob_negative[0])
    stuck = any(not limits.by_name[name].allows(settings[name]) for name in fixed)
    offered = moved and not stuck and (chance >= GATE or bool(passed))
    stay = _choice(fit, here, settings)
    change = _choice(fit, best, _moved(search, settings, best)) if offered else None
    mean, low, high = (float(v[0]) if offered else 0.0 for v in (gain.mean, gain.low, gain.high))
    return NextSetting(
        response=fit.response,
        forecast=forecast,
        stay=stay,
        change_to=change,
        gain_s=mean,
        gain_low_s=low,
        gain_high_s=high,
        p_better=chance if offered else None,
        limited_by=(*far, *_limited_by(search, best)),
        no_suggestion_for=_no_suggestion(fit, limits, quick_only=quick_only),
        quick_only=quick_only,
        sentence=" ".join((*passed, _sentence(search, stay, change, mean, chance, far))),
    )


# --- the question


def known_settings(fit: ResponseFit, present: Mapping[str, float]) -> dict[str, float]:
    """Give every setting the model knows its present value; the middle of the runs where unknown."""
    return {
        factor.name: float(present.get(factor.name, factor.reference))
        for factor in fit.spec.factors
        if factor.is_setting
    }


def present_state(fit: ResponseFit, present: Mapping[str, float], forecast: Forecast | None = None) -> Array:
    """State of the present setting at the last run's wear, under a forecast or the season's middle."""
    values = known_settings(fit, present)
    if forecast is not None:
        known = {"track_temp": forecast.track_temp_degf, "air_density": forecast.air_density_kg_per_m3}
        values |= {name: v for name, v in known.items() if v is not None and name in fit.spec.names}
    state = basis.state_of(fit.spec, values)
    if "wear" in fit.spec.names:
        i = fit.spec.index("wear")
        state[i] = fit.state[-1, i]
    return state


def _search(fit: ResponseFit, here: Array, movable: list[Limit], settings: Mapping[str, float]) -> _Search:
    indices = tuple(fit.spec.index(limit.name) for limit in movable)
    choices = tuple(
        (np.array(limit.settable(settings[limit.name])) - fit.spec.factors[i].reference)
        / fit.spec.factors[i].step
        for limit, i in zip(movable, indices, strict=True)
    )
    return _Search(fit, here, trust_region(fit, here), tuple(movable), indices, choices)


def _too_far(fit: ResponseFit, forecast: Forecast) -> tuple[str, ...]:
    """Say when the forecast track is far outside what was run on."""
    temp = forecast.track_temp_degf
    if temp is None or "track_temp" not in fit.spec.names:
        return ()
    i, factor = fit.spec.index("track_temp"), fit.spec.factor("track_temp")
    low, high = (factor.reference + factor.step * v for v in (fit.state[:, i].min(), fit.state[:, i].max()))
    if low - FAR_DEGF <= temp <= high + FAR_DEGF:
        return ()
    return (
        f"a track of {temp:.0f} degF, more than {FAR_DEGF:g} degF outside "
        f"the {low:.0f} to {high:.0f} degF run so far",
    )


# --- the search


def _earned(search: _Search) -> Array:
    """Find the best state of which every single move very likely helps. Shape (F,).

    Moves that do not earn their place are taken out one by one; then every other is tried again, beside
    those that stayed and alone, for one may have looked weak only along with another that went.
    """
    out: set[int] = set()
    best = _best(search)
    while (weakest := _weakest_move(search, best)) is not None:
        out.add(weakest)
        best = _best(_without(search, out))
    better: Array | None = best if out else None
    while better is not None:
        best, better = better, _improved(search, better)
    return best


def _improved(search: _Search, best: Array) -> Array | None:
    """Find a state with one adjustment more, or another one alone, whose moves all earn their place."""
    everything = set(range(len(search.indices)))
    still = {k for k in everything if abs(best[search.indices[k]] - search.here[search.indices[k]]) <= _SAME}
    score = float(search.cautious(best[None])[0])
    for k in sorted(still):
        for left in (still - {k}, everything - {k} - _held_outside(search)):
            trial = _best(_without(search, left))
            if (
                float(search.cautious(trial[None])[0]) < score - _SAME
                and _weakest_move(search, trial) is None
            ):
                return trial
    return None


def _held_outside(search: _Search) -> set[int]:
    """Name the adjustments now past a limit: they move whatever else does."""
    found = set()
    for k, (i, limit) in enumerate(zip(search.indices, search.limits, strict=True)):
        factor = search.fit.spec.factors[i]
        if not limit.allows(factor.reference + factor.step * float(search.here[i])):
            found.add(k)
    return found


def _weakest_move(search: _Search, best: Array) -> int | None:
    """Name the move that helps least, if it does not earn its place; place in ``search.limits``.

    Every move must be expected to gain what a move must, beside the others. One that could be taken back
    alone must also have ``GATE`` chances to help; when taking it back leaves the trust region (settings
    always moved together) its own effect is not known apart and only the pair's is judged.
    """
    moved = [k for k, i in enumerate(search.indices) if abs(best[i] - search.here[i]) > _SAME]
    doubtful = []
    for k in moved if len(moved) > 1 else ():
        i, limit = search.indices[k], search.limits[k]
        factor, back = search.fit.spec.factors[i], best.copy()
        back[i] = search.here[i]
        if not limit.allows(factor.reference + factor.step * float(back[i])):
            continue  # it has to come inside its limit
        gain = search.fit.difference(back, best)
        chance, share = float(gain.prob_negative[0]), float(gain.mean[0])
        apart = bool(search.region.holds(back[None])[0])
        if share > -WORTH_S or (apart and chance < GATE):
            doubtful.append((chance, k))
    return min(doubtful)[1] if doubtful else None


def _without(search: _Search, out: set[int]) -> _Search:
    """Give the same search with some adjustments left where they are."""
    kept = tuple(
        search.here[i][None] if k in out else values
        for k, (i, values) in enumerate(zip(search.indices, search.choices, strict=True))
    )
    return replace(search, choices=kept)


def _blocks(search: _Search) -> list[tuple[int, ...]]:
    """Group the adjustments to search together, as many as the count allows; the rest one by one."""
    first: list[int] = []
    rest: list[tuple[int, ...]] = []
    size = 1
    for k, values in enumerate(search.choices):
        if size * values.size <= _MOST_CANDIDATES:
            first.append(k)
            size *= values.size
        else:
            rest.append((k,))
    return [tuple(first), *rest]


def _best(search: _Search) -> Array:
    """Find the state with the least cautious score. Shape (F,)."""
    at = search.here.copy()
    for i, values in zip(search.indices, search.choices, strict=True):
        at[i] = values[np.abs(values - at[i]).argmin()]
    blocks = _blocks(search)
    for _ in range(_ROUNDS if len(blocks) > 1 else 1):
        before = at
        for block in blocks:
            at = _best_of(search, at, block)
        if np.array_equal(before, at):
            break
    return at


def _best_of(search: _Search, at: Array, block: tuple[int, ...]) -> Array:
    if not block:
        return at
    mesh = np.meshgrid(*(search.choices[k] for k in block), indexing="ij")
    states = np.tile(at, (mesh[0].size, 1))
    for k, values in zip(block, mesh, strict=True):
        states[:, search.indices[k]] = values.ravel()
    inside = search.region.holds(states)
    states = states[inside] if inside.any() else states
    chosen: Array = states[search.cautious(states).argmin()]
    return chosen


def _limited_by(search: _Search, best: Array) -> tuple[str, ...]:
    """Name what stopped the suggestion: a limit just beyond which the score would still fall."""
    said: list[str] = []
    untried: list[str] = []
    score = float(search.cautious(best[None])[0])
    for k, limit in enumerate(search.limits):
        for step in (-1, 1):
            beyond = _beyond(search, best, k, step)
            if float(search.cautious(beyond[None])[0]) >= score:
                continue
            why = _blocked(search, limit, k, beyond)
            if why:
                said.append(why)
            elif not search.region.holds(beyond[None])[0]:
                untried.append(limit.label)
    if untried:
        together = " together" if len(untried) > 1 else " along with the other settings"
        said.append(f"how far {listed(list(dict.fromkeys(untried)))} {_have(untried)} been tried{together}")
    return tuple(dict.fromkeys(said))


def _have(labels: list[str]) -> str:
    return "have" if len(set(labels)) > 1 else "has"


def _beyond(search: _Search, best: Array, k: int, step: int) -> Array:
    """Give the chosen state with one adjustment moved one settable value on. Shape (F,)."""
    i, values = search.indices[k], search.choices[k]
    factor = search.fit.spec.factors[i]
    moved = best.copy()
    onward = values[values > best[i] + _SAME] if step > 0 else values[values < best[i] - _SAME]
    if onward.size:
        moved[i] = onward.min() if step > 0 else onward.max()
    else:
        moved[i] += step * search.limits[k].grid / factor.step
    return moved


def _blocked(search: _Search, limit: Limit, k: int, state: Array) -> str:
    """Say which limit or reach a state is past; empty when none."""
    i = search.indices[k]
    factor = search.fit.spec.factors[i]
    value, present = (factor.reference + factor.step * float(s[i]) for s in (state, search.here))
    if not limit.allows(value):
        return limit.low_words if value < limit.low else limit.high_words
    if abs(value - present) > limit.reach + _SAME:
        return f"{limit.spoken(limit.reach)} of {limit.label}, as far as one suggestion goes"
    return ""


# --- the answer


def _moved(search: _Search, settings: Mapping[str, float], best: Array) -> dict[str, float]:
    """Give settings of a state in own units; values not moved stay exactly as they were."""
    out = dict(settings)
    for i, limit in zip(search.indices, search.limits, strict=True):
        if abs(best[i] - search.here[i]) > _SAME:
            factor = search.fit.spec.factors[i]
            value = round(factor.reference + factor.step * float(best[i]), 6)
            out[limit.name] = limit.nearest(value)
    return out


def _choice(fit: ResponseFit, state: Array, settings: Mapping[str, float]) -> SettingChoice:
    """Give a setting its expected time and the interval of one run of an event not seen yet."""
    run = fit.posterior.one_run(basis.design(fit.spec, state), state[list(fit.spec.slope_factors)][None])
    mean, low, high = (float(v[0]) + fit.centre_s for v in (run.mean, run.low, run.high))
    return SettingChoice(dict(settings), mean, low, high)


def _no_suggestion(fit: ResponseFit, limits: Limits, *, quick_only: bool) -> tuple[str, ...]:
    said = [] if quick_only else list(limits.missing.values())
    if quick_only:
        said = [
            sentence for name, sentence in limits.missing.items() if name in {"launch_rpm", "tire_pressure"}
        ]
    for name, limit in limits.by_name.items():
        if quick_only and not limit.is_quick:
            continue
        if name not in fit.spec.names:
            said.append(f"No suggestion for {limit.label}: too few runs say what it was.")
        elif not fit.spec.factor(name).varies:
            said.append(
                f"No suggestion for {limit.label}: it never changed, so nothing is known of it. "
                "A test plan can try it."
            )
    return tuple(said)


def _sentence(
    search: _Search,
    stay: SettingChoice,
    change: SettingChoice | None,
    gain_s: float,
    chance: float,
    far: tuple[str, ...],
) -> str:
    if far and change is None:
        return f"Stay: nothing is known of {far[0]}."
    if change is None and not search.limits:
        return "Stay: there is no adjustment that has a limit in garage.toml and was ever changed."
    if change is None:
        return "Stay: no change near the present setting has nine chances in ten to be quicker."
    steps = [_step_words(limit, stay, change) for limit in search.limits]
    what = listed([step for step in steps if step])
    direction = "quicker" if gain_s < 0 else "slower"
    return (
        f"{what[:1].upper()}{what[1:]}: {thousandths(abs(gain_s))} thousandths {direction} than staying "
        f"is expected, with {_in_hundred(chance)} chances in a hundred to be quicker."
    )


def _in_hundred(chance: float) -> str:
    """Chances in a hundred, never rounded to certainty."""
    return f"{min(max(round(100 * chance), 1), 99)}"


def _step_words(limit: Limit, stay: SettingChoice, change: SettingChoice) -> str:
    before, after = stay.settings[limit.name], change.settings[limit.name]
    if abs(after - before) <= _SAME:
        return ""
    verb = "raise" if after > before else "lower"
    pieces = limit.pieces(after)
    hung = f" ({pieces} on each lever)" if pieces else ""
    return f"{verb} {limit.label} from {before:g} to {limit.spoken(after)}{hung}"
