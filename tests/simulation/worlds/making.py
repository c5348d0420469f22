"""Simulated seasons ("worlds") of which everything is known.

    season = world("cliff", seed=3)
    season.runs, season.facts                        # what a model is given
    more = season.changed(season.runs, launch_rpm=6400.0)
    season.expected_s("t60", more)                   # what it would truly have been
    best, gain_s = feasible_best(season, forecast(season, rng).rows[0], limits)
    season = play(season, coach, rng)                # a further event

The worlds were written by someone who had not seen the model.
"""

from __future__ import annotations

import zlib
from dataclasses import replace

import numpy as np

from tests.simulation.worlds.frame import ADJUSTMENTS, RANGES, Floats, on_grid
from tests.simulation.worlds.launch import LaunchForm
from tests.simulation.worlds.list import SPECS, Spec
from tests.simulation.worlds.nights import Climate, Life, Night, make_night
from tests.simulation.worlds.play import Forecast, feasible_best, forecast, play, usual_limits
from tests.simulation.worlds.racers import MOVES, Racer
from tests.simulation.worlds.season import (
    Habits,
    Season,
    drive,
    facts_of,
    known_of,
    recorded_car,
    rows_of,
    state_of,
)
from tests.simulation.worlds.truth import (
    SCALES,
    Cliff,
    Form,
    Freshened,
    Luck,
    Others,
    Ridge,
    SecondOrder,
    Truth,
)

__all__ = ["WORLDS", "Forecast", "Season", "feasible_best", "forecast", "play", "usual_limits", "world"]

WORLDS: dict[str, str] = {name: spec.about for name, spec in SPECS.items()}
"""Name of each world, and what it is in one sentence."""
_SERVICES = 60
"""More than any season has."""


def world(name: str, seed: int) -> Season:
    """Make one season of a world; the same seed gives the same season.

    Parameters
    ----------
    name
        A name of `WORLDS`.
    seed
        Not negative.
    """
    spec = SPECS[name]
    rng = np.random.default_rng([seed, zlib.crc32(name.encode())])
    policy = str(rng.choice(spec.racers))
    names = tuple(a for a in ADJUSTMENTS if a != "wing_hole" or rng.random() < spec.wing)
    home = _home(rng, names)
    nulls = _nulls(rng, spec, names)
    pair = _pair(rng, nulls) if policy == "locked" else None
    climate, life = _climate(rng, spec), Life()
    nights = _season_nights(rng, spec, climate, life)
    form = _form(rng, spec, home, nulls, nights, policy)
    truth = Truth(form, _others(rng, spec, nights))
    noise = np.concatenate([spec.noise.draw(rng, night.runs) for night in nights], axis=1)
    luck = Luck.draw(rng, noise.shape[1])
    wary = (spec.form == "launch" or spec.cliff) and policy != "explore"
    size = 0.85 if spec.form == "launch" else 1.0
    racer = Racer(policy, home, rng, size, pair or ("", ""), wary=wary)
    settings = drive(racer, truth, nights, noise, luck)
    state = state_of(nights, settings)
    times, wrong = truth.sample(state, luck)
    blanks = spec.blanks
    if blanks.noted < 0:
        blanks = replace(blanks, noted=float(rng.choice([0.0, 0.5])))
    recorded = recorded_car(rng)
    extras = [a for a in names if a in ("shock_clicks", "wing_hole")]
    runs = rows_of((recorded, extras, blanks), nights, state, times + noise, wrong, rng)
    return Season(
        name=name,
        seed=seed,
        runs=runs,
        facts=facts_of(recorded, extras),
        nulls=nulls,
        movers=tuple(a for a in names if a not in nulls),
        present=settings[-1],
        racer=policy,
        pair=pair,
        recorded=recorded,
        truth=truth,
        known=known_of(nights),
        noise=spec.noise,
        blanks=blanks,
        habits=Habits(climate, life, spec.drift_s, spec.days, spec.level_s, spec.slick_level_s),
        nights=tuple(nights),
    )


def _home(rng: np.random.Generator, names: tuple[str, ...]) -> dict[str, float]:
    """Where the racer starts: somewhere in the middle of each range."""
    out = {}
    for name in names:
        low, high = RANGES[name]
        out[name] = on_grid(name, low + (high - low) * rng.uniform(0.36, 0.64))
    return out


def _nulls(rng: np.random.Generator, spec: Spec, names: tuple[str, ...]) -> tuple[str, ...]:
    """Draw which adjustments do nothing; the wing never does anything."""
    if spec.nothing:
        return names
    nulls = [name for name in names if name == "wing_hole"]
    if rng.random() < 0.5 or not nulls:
        nulls.append("tire_pressure" if spec.form == "launch" else str(rng.choice(names[3:5])))
    if spec.form == "second" and rng.random() < 0.3:
        nulls.append("counterweight")
    if spec.form == "launch" and not nulls and rng.random() < 0.8:
        nulls.append("tire_pressure")
    return tuple(name for name in names if name in nulls)


def _pair(rng: np.random.Generator, nulls: tuple[str, ...]) -> tuple[str, str]:
    """A mover that leads and a null that follows."""
    leader = str(rng.choice(["preload", "counterweight", "launch_rpm"]))
    return leader, str(rng.choice(nulls))


def _climate(rng: np.random.Generator, spec: Spec) -> Climate:
    """Draw what events have in common, and what is read or noted wrong in this world."""
    drawn = Climate.draw(rng)
    gun = np.zeros(len(drawn.gun_degf))
    if spec.gun_degf:
        gun[int(rng.integers(gun.size))] = spec.gun_degf * float(rng.choice([-1, 1]))
    return replace(drawn, gun_degf=tuple(gun.tolist()), misnoted=spec.misnoted, evenings=spec.evenings)


def _season_nights(rng: np.random.Generator, spec: Spec, climate: Climate, life: Life) -> list[Night]:
    count = int(rng.integers(spec.events[0], spec.events[1] + 1))
    sizes = rng.integers(spec.runs[0], spec.runs[1] + 1, count)
    if spec.total:
        sizes = np.full(count, spec.total // count)
        sizes[: spec.total - sizes.sum()] += 1
    return [
        make_night(rng, e, int(runs), climate, life, spec.drift_s, spec.days) for e, runs in enumerate(sizes)
    ]


def _others(rng: np.random.Generator, spec: Spec, nights: list[Night]) -> Others:
    slick = np.array([night.slick for night in nights])
    levels = np.array([night.level_s for night in nights])
    lane = np.zeros(4)
    lane[int(rng.choice([night.venue for night in nights]))] = rng.uniform(*spec.lane_s) * rng.choice([-1, 1])
    state = state_of(nights, [{}] * sum(night.runs for night in nights))
    hours = np.mean([state.hours[state.event == e].max() for e in range(len(nights))])
    through = np.linspace(0, 1, len(nights)) ** rng.uniform(0.6, 1.6)
    fresh = _size(rng, spec.freshened_s) * (np.arange(len(nights)) >= len(nights) // 2)
    return Others(
        level_s=spec.level_s * levels + spec.slick_level_s * slick,
        slick=slick,
        drift_s_per_h=np.array([night.drift_s_per_h for night in nights]),
        usual_drift=float(spec.drift_s[0] / max(hours, 1.0)),
        better_s=spec.better_s * through + fresh,
        lane_s=lane,
        service_s=rng.normal(0, 0.012, _SERVICES) if spec.new_disc else np.zeros(1),
        heat_s=float(rng.uniform(*spec.heat_s)),
        tires_s=float(rng.uniform(*spec.tires_s)),
        wear_s=float(rng.uniform(*spec.wear_s)),
        wear_knee_in=float(rng.uniform(0.0015, 0.0035)),
        bedding_s=_size(rng, spec.bedding_s),
        wind_s_per_mph=_size(rng, spec.wind_s) / 10,
        driver_s=_size(rng, spec.driver_s),
    )


def _size(rng: np.random.Generator, span: tuple[float, float]) -> float:
    """Draw a size, of what is in the world at all: without it the other draws stay as they were."""
    return float(rng.uniform(*span)) if span[1] else 0.0


def _form(
    rng: np.random.Generator,
    spec: Spec,
    home: dict[str, float],
    nulls: tuple[str, ...],
    nights: list[Night],
    policy: str,
) -> Form:
    if spec.form == "launch":
        return _launch_form(rng, home, nulls, nights, policy)
    by_service = rng.normal(0, 0.006, _SERVICES) if spec.new_disc else None
    second = spec.form == "second" or spec.nothing or (spec.form == "any" and rng.random() < 0.4)
    form: Form
    form = (_second if second else _ridge)(rng, home, nulls, nights, by_service)
    if spec.freshened_s[1]:
        form = Freshened(form, len(nights) // 2, float(rng.choice([-1, 1]) * rng.uniform(80, 200)))
    if spec.cliff:
        load = _load(nights, home)
        ahead = float(rng.uniform(40, 420))
        form = Cliff(
            form,
            at_rpm=home["launch_rpm"] + ahead,
            at_load_lb=load,
            width_rpm=float(rng.uniform(45, 110)),
            per_10_degf=float(rng.uniform(30, 120)),
            per_100_lb=float(rng.uniform(20, 90)),
        )
    return form


def _load(nights: list[Night], home: dict[str, float]) -> float:
    return float(state_of(nights[:1], [home] * nights[0].runs).load_lb.mean())


def _second(
    rng: np.random.Generator,
    home: dict[str, float],
    nulls: tuple[str, ...],
    nights: list[Night],
    by_service: Floats | None,
) -> Form:
    """Draw effects about the racer's home: linear, a third of it squared, a quarter of it in products."""
    sizes = np.array([0.0055, 0.0045, 0.0065, 0.004, 0.004, 0.0, 0.007, 0.007])
    alive = np.ones(8)
    for k, name in enumerate(SCALES):
        alive[k] = float({"turns_left": "preload"}.get(name, name) not in nulls)
    tau = sizes * alive
    linear = rng.normal(0, 1, (2, 8)) * tau * np.array([[1.0], [0.6]])
    linear[:, 7] = -np.abs(linear[:, 7]) - 0.003
    pull = np.sqrt(np.outer(tau, tau)) * (np.outer(tau, tau) > 0)
    square = np.triu(rng.normal(0, 0.25, (2, 8, 8)), 1) * pull
    for r, share in enumerate((1.0, 0.5)):
        np.fill_diagonal(square[r], rng.normal(0.12, 0.3, 8) * tau * share)
    shift = rng.normal(0, 0.5, 8)
    middle = [home.get({"turns_left": "preload"}.get(name, name), 0.0) for name in list(SCALES)[:6]]
    temp, air = _typical(nights)
    centre = np.array([*middle, temp, air]) + shift * np.array(list(SCALES.values()))
    base = (float(rng.uniform(1.08, 1.5)), float(rng.uniform(1.9, 2.5)))
    return SecondOrder(centre, linear, square, base, by_service)


def _typical(nights: list[Night]) -> tuple[float, float]:
    temp = np.concatenate([night.track_temp for night in nights])
    air = np.concatenate([night.air_density for night in nights])
    return float(temp.mean()), float(air.mean())


def _ridge(
    rng: np.random.Generator,
    home: dict[str, float],
    nulls: tuple[str, ...],
    nights: list[Night],
    by_service: Floats | None,
) -> Form:
    def near(name: str, much: float) -> float:
        return float(home.get(name, 0.0) + rng.normal(0, much) * MOVES[name])

    best = (
        near("launch_rpm", 1.1),
        _load(nights, home) + float(rng.normal(0, 90)),
        near("preload", 1.0),
        near("counterweight", 1.0),
        near("tire_pressure", 1.2),
        near("shock_clicks", 1.0),
    )
    depth = (
        rng.uniform(0.004, 0.011),
        rng.uniform(0.002, 0.012),
        0.0 if "tire_pressure" in nulls else rng.uniform(0.003, 0.010),
        0.0 if "shock_clicks" in nulls else rng.uniform(-0.009, 0.009),
        rng.uniform(0.004, 0.015),
        rng.uniform(0.004, 0.010),
    )
    return Ridge(
        best=best,
        depth_s=tuple(float(d) for d in depth),  # type: ignore[arg-type]
        left=float(rng.uniform(0.5, 1.4)),
        right=float(rng.uniform(0.7, 2.2)),
        load_share=float(rng.uniform(0.2, 0.9)),
        temp_share=float(rng.uniform(0.1, 0.7)),
        base=(float(rng.uniform(1.08, 1.5)), float(rng.uniform(1.9, 2.5))),
        by_service=by_service,
    )


def _launch_form(
    rng: np.random.Generator, home: dict[str, float], nulls: tuple[str, ...], nights: list[Night], policy: str
) -> Form:
    """Draw a car and move the racer's home rpm to a chosen place before the cliff."""
    temp, _ = _typical(nights)
    form = LaunchForm(
        grip=float(rng.uniform(2.14, 2.43)),
        kind_degf=float(rng.uniform(72, 95)),
        soft=float(rng.uniform(0.12, 0.4)),
        best_psi=float(home["tire_pressure"] + rng.normal(0, 0.8)),
        per_psi2=0.0 if "tire_pressure" in nulls else float(rng.uniform(0.002, 0.006)),
        friction=float(rng.uniform(0.94, 1.06)),
        power=float(rng.uniform(0.96, 1.05)),
    )
    home["preload"] = on_grid("preload", float(rng.uniform(1.5, 3.5)))
    home["counterweight"] = on_grid("counterweight", float(rng.uniform(3.0, 6.0)))
    rpm = np.arange(4800.0, 7300.0, 50.0)
    first = state_of(nights[:1], [home] * nights[0].runs).take(np.zeros(rpm.size, dtype=np.intp))
    first = first.changed(launch_rpm=rpm, track_temp=np.full(rpm.size, temp))
    for _ in range(8):
        state = first.changed(preload=np.full(rpm.size, home["preload"]))
        spin, bog = form.chances(state, np.zeros(rpm.size))
        low = float(rpm[bog > 0.02].max(initial=rpm[0]))
        edge = float(rpm[int(np.argmax(spin > 0.1))]) if (spin > 0.1).any() else float(rpm[-1])
        if edge - low >= 450:
            break
        home["preload"] = on_grid("preload", home["preload"] - 0.25)
        form = replace(form, grip=form.grip + 0.025)
    back = rng.uniform(150, 500) if policy in ("explore", "locked", "free") else rng.uniform(30, 450)
    home["launch_rpm"] = on_grid("launch_rpm", float(np.clip(edge - back, low + 130, 6900)))
    return form
