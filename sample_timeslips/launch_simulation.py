"""Integrate a clutch car's launch and run: what makes the times of the invented season.

Deliberately not the statistical model's form: nothing here is a polynomial in the settings. The engine,
the slipping clutch, the tire and the car each keep their own speed, and the times come from following
them along the strip. The only link to a setting is mechanical: turns and wear change the spring load,
grams change the load that grows with engine speed squared, launch rpm is where the engine starts, the
rear shock sets how fast weight reaches the rear tires. Tire pressure does nothing at all: it is the
invented season's planted null.

The launch, until the car has covered `HANDOVER_M`, is integrated by the fourth-order Runge-Kutta rule
in steps of `LAUNCH_STEP_S`; the rest of the strip with clutch locked and tires rolling, by the midpoint
rule in steps of `STRIP_STEP_S`. All arrays have one entry a run.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Rates = Callable[[float, Floats], Floats]

LBF_N = 4.4482216152605
LB_KG = 0.45359237
INCH_M = 0.0254
FOOT_M = 0.3048
MPH_M_PER_S = 0.44704
LBFT_NM = LBF_N * FOOT_M
RPM_RAD_PER_S = 2.0 * np.pi / 60.0
GRAVITY_M_PER_S2 = 9.80665

LAUNCH_STEP_S = 0.004
"""Small enough that halving it moves no 60 ft time by 0.02 ms (tested)."""
STRIP_STEP_S = 0.01
LONGEST_LAUNCH_S = 4.5
LONGEST_RUN_S = 20.0
ROLLOUT_M = 1.0 * FOOT_M
HANDOVER_M = ROLLOUT_M + 61.0 * FOOT_M
SPEED_TRAP_M = 66.0 * FOOT_M
GRIP_SCATTER = 0.03
"""Standard deviation of grip from one burnout to the next, as a share."""


@dataclass(frozen=True, slots=True)
class Car:
    """The invented car; SI inside, trade units where a sheet would carry them.

    Torque at the flywheel is ``peak - fall x ((rpm - peak_rpm)/1000)^2`` lb-ft at the reference air
    density, about 830 hp at best.
    """

    mass_kg: float = 2700.0 * LB_KG
    rear_share: float = 0.497
    height_over_wheelbase: float = 0.248
    drag_area_m2: float = 0.7
    rolling: float = 0.03
    tire_radius_m: float = 0.356
    tire_stretch_m: float = 0.16
    creep_m_per_s: float = 3.6
    tire_stiffness: float = 8.4
    tire_shape: float = 1.28
    peak_grip: float = 2.252
    smear_j: float = 190000.0
    smear_loss: float = 0.2
    soft_track_degf: float = 232.0
    soft_track_width_degf: float = 45.0
    transfer_s: float = 0.216
    transfer_per_click: float = 0.04
    middle_click: float = 6.0
    peak_torque_lbft: float = 520.0
    peak_torque_rpm: float = 7500.0
    torque_fall_lbft: float = 5.0
    engine_friction_lbft: float = 65.0
    reference_density: float = 1.17
    engine_inertia: float = 0.46
    input_inertia: float = 0.020
    wheel_inertia: float = 4.6
    gears: tuple[float, ...] = (10.36, 7.8, 6.1, 4.9)
    efficiency: float = 0.9
    shift_rpm: float = 8600.0
    shift_s: float = 0.12
    springs: int = 16
    base_load_lb: float = 240.0
    spring_rate_lb_per_in: float = 160.0
    threads_per_inch: float = 16.0
    levers: int = 4
    lever_mass_g: float = 27.0
    lever_radius_in: float = 3.0
    lever_ratio: float = 1.4
    friction: float = 0.334
    faces: int = 2
    effective_radius_in: float = 4.0
    pedal_s: float = 0.076
    lock_rad_per_s: float = 20.0


CAR = Car()


@dataclass(frozen=True, slots=True)
class Settings:
    """What the racer sets; each an array over runs, or a number for all."""

    preload_turns: Floats
    counterweight_g: Floats
    launch_rpm: Floats
    tire_pressure_psi: Floats
    shock_clicks: Floats


@dataclass(frozen=True, slots=True)
class Conditions:
    """What the racer does not set.

    ``growth_in`` is ring height growth since the clutch was set up or serviced; ``grip_factor`` is the
    state of the track that no gun shows (1 = as its temperature says).
    """

    track_temp_degf: Floats
    air_density_kg_per_m3: Floats
    growth_in: Floats
    grip_factor: Floats


@dataclass(frozen=True, slots=True)
class Runs:
    """Elapsed times [s] and trap speeds [mph], with what the launch looked like.

    ``peak_slip`` is the greatest tire slip in the first 60 ft (0.15 is about best), ``lowest_rpm`` the
    lowest engine speed on the way there.
    """

    t60_s: Floats
    t330_s: Floats
    t660_s: Floats
    v660_mph: Floats
    t1000_s: Floats
    t1320_s: Floats
    v1320_mph: Floats
    peak_slip: Floats
    spin_s: Floats
    lowest_rpm: Floats

    @property
    def spun(self) -> Flags:
        """Tires turned past the peak of their grip for long enough to be seen from the stands."""
        return self.spin_s > 1.1

    @property
    def bogged(self) -> Flags:
        """Engine left, or was pulled, below where it makes torque."""
        return self.lowest_rpm < 5050.0


def peak_grip(track_temp_degf: Floats, car: Car = CAR) -> Floats:
    """Best ratio of drive force to tire load; rubber on the surface gives way as it warms."""
    return car.peak_grip / (1.0 + np.exp((track_temp_degf - car.soft_track_degf) / car.soft_track_width_degf))


def static_load_n(settings: Settings, conditions: Conditions, car: Car = CAR) -> Floats:
    """Spring load on the plate: base + springs x rate x (turns x pitch - growth) [N]."""
    travel_in = settings.preload_turns / car.threads_per_inch - conditions.growth_in
    return LBF_N * (car.base_load_lb + car.springs * car.spring_rate_lb_per_in * travel_in)


def lever_load_per_speed2(settings: Settings, car: Car = CAR) -> Floats:
    """Plate load from the levers per engine speed squared: levers x mass x radius x ratio [N s2]."""
    mass_kg = (car.lever_mass_g + settings.counterweight_g) / 1000.0
    return car.levers * mass_kg * car.lever_radius_in * INCH_M * car.lever_ratio


def engine_torque_nm(speed_rad_per_s: Floats, density_ratio: Floats, car: Car = CAR) -> Floats:
    """Flywheel torque [N m]: what the air gives less the engine's own friction."""
    off = (speed_rad_per_s / RPM_RAD_PER_S - car.peak_torque_rpm) / 1000.0
    friction = car.engine_friction_lbft
    gross = car.peak_torque_lbft + friction - car.torque_fall_lbft * off * off
    return LBFT_NM * (gross * density_ratio - friction)


def simulate(settings: Settings, conditions: Conditions, car: Car = CAR, *, last_ft: float = 1320.0) -> Runs:
    """Run every car of the batch down the strip.

    Parameters
    ----------
    settings, conditions
        Arrays, shape (runs,), or numbers that hold for all runs.
    last_ft
        Times beyond this distance are not wanted; they are nan.

    Returns
    -------
    Runs
        Without timing noise: the same input gives the same times.
    """
    settings, conditions = _same_shape(settings, conditions)
    launch = _launch(settings, conditions, car)
    return _strip(launch, conditions, car, last_ft)


def expected_times(settings: Settings, conditions: Conditions, response: str = "t60_s") -> Floats:
    """Give each run's true mean time over burnouts, without timing noise [s].

    No two burnouts leave the same tire, so grip differs from run to run by `GRIP_SCATTER` even when
    everything that can be written down is the same; the mean over that scatter is what a setting is
    truly worth. ``response`` is a time of `Runs` or ``t60_330_s``.
    """
    settings, conditions = _same_shape(settings, conditions)
    factors, weights = grip_draws()
    draws, runs = factors.size, settings.launch_rpm.size
    every = Settings(*(np.tile(getattr(settings, f.name), draws) for f in fields(Settings)))
    scattered = Conditions(*(np.tile(getattr(conditions, f.name), draws) for f in fields(Conditions)))
    scattered.grip_factor[:] *= np.repeat(factors, runs)
    early = response in {"t60_s", "t330_s", "t60_330_s"}
    times = simulate(every, scattered, last_ft=330.0 if early else 1320.0)
    wanted = times.t330_s - times.t60_s if response == "t60_330_s" else getattr(times, response)
    return np.asarray(weights @ np.reshape(wanted, (draws, runs)), dtype=np.float64)


def grip_draws(count: int = 9, reach: float = 2.0) -> tuple[Floats, Floats]:
    """Grip factors of a typical set of burnouts, evenly spaced, with their normal weights."""
    z = np.linspace(-reach, reach, count)
    weights = np.exp(-0.5 * z * z)
    return 1.0 + GRIP_SCATTER * z, weights / weights.sum()


def changed(settings: Settings, **values: Floats | float) -> Settings:
    """Give the settings with some of them replaced."""
    return replace(settings, **{name: np.asarray(value, float) for name, value in values.items()})


def _same_shape(settings: Settings, conditions: Conditions) -> tuple[Settings, Conditions]:
    names_s = [f.name for f in fields(Settings)]
    names_c = [f.name for f in fields(Conditions)]
    given = [getattr(settings, n) for n in names_s] + [getattr(conditions, n) for n in names_c]
    arrays = np.broadcast_arrays(*[np.atleast_1d(np.asarray(a, dtype=np.float64)) for a in given])
    return Settings(*arrays[: len(names_s)]), Conditions(*arrays[len(names_s) :])


@dataclass(slots=True)
class _Launch:
    """State at the hand-over, with the launch's own results; times from the start of motion [s]."""

    clock_start_s: Floats
    t60_s: Floats
    at_s: Floats
    speed: Floats
    engine: Floats
    peak_slip: Floats
    spin_s: Floats
    lowest_rpm: Floats


# State of a launching car, rows of an array (7, runs): distance [m], speed [m/s], wheel speed [rad/s],
# engine speed [rad/s], tire slip [-], load moved onto the rear tires [N], heat made by sliding [J].
_DISTANCE, _SPEED, _WHEEL, _ENGINE, _SLIP, _MOVED, _HEAT = range(7)


def _launch(settings: Settings, conditions: Conditions, car: Car) -> _Launch:
    """Follow the launch until every car has passed the hand-over distance."""
    runs = settings.launch_rpm.size
    derivative = _launch_equations(settings, conditions, car)
    state = np.zeros((7, runs))
    state[_ENGINE] = settings.launch_rpm * RPM_RAD_PER_S
    marks = {ROLLOUT_M: np.full(runs, np.nan), ROLLOUT_M + 60 * FOOT_M: np.full(runs, np.nan)}
    ended = _Launch(
        clock_start_s=marks[ROLLOUT_M],
        t60_s=np.full(runs, np.nan),
        at_s=np.full(runs, np.nan),
        speed=np.full(runs, np.nan),
        engine=np.full(runs, np.nan),
        peak_slip=np.zeros(runs),
        spin_s=np.zeros(runs),
        lowest_rpm=settings.launch_rpm.copy(),
    )
    past_peak = np.tan(np.pi / (2.0 * car.tire_shape)) / car.tire_stiffness
    steps = int(LONGEST_LAUNCH_S / LAUNCH_STEP_S)
    for step in range(steps):
        time = step * LAUNCH_STEP_S
        before = state
        state = _runge_kutta(derivative, time, before)
        for distance, reached in marks.items():
            _note_crossing(reached, time, distance, before, state)
        _note_handover(ended, time, before, state)
        going = np.isnan(ended.at_s)
        ended.peak_slip = np.where(going, np.maximum(ended.peak_slip, state[_SLIP]), ended.peak_slip)
        ended.spin_s += np.where(going & (state[_SLIP] > 1.6 * past_peak), LAUNCH_STEP_S, 0.0)
        rpm = state[_ENGINE] / RPM_RAD_PER_S
        ended.lowest_rpm = np.where(going, np.minimum(ended.lowest_rpm, rpm), ended.lowest_rpm)
        if not going.any():
            break
    ended.t60_s = marks[ROLLOUT_M + 60 * FOOT_M] - ended.clock_start_s
    return ended


def _launch_equations(settings: Settings, conditions: Conditions, car: Car) -> Rates:
    """Write down the launch: a function of time and state that gives the state's rate of change.

    Notes
    -----
    Clutch: torque = friction x faces x plate load x effective radius x tanh(slip speed / lock speed),
    the plate load rising with the pedal over `pedal_s`. Tire: slip s follows the ground with the
    carcass stretching, ``stretch ds/dt = R w - v - |v| s``, and drive force = rear load x peak grip x
    sin(shape x atan(stiffness s)), which rises to a peak and falls beyond it. Weight moves to the rear
    with the car's acceleration, late by `transfer_s`, which the rear shock lengthens.
    """
    gear = car.gears[0]
    static_n = static_load_n(settings, conditions, car)
    per_speed2 = lever_load_per_speed2(settings, car)
    density_ratio = conditions.air_density_kg_per_m3 / car.reference_density
    torque_per_n = car.friction * car.faces * car.effective_radius_in * INCH_M
    grip = peak_grip(conditions.track_temp_degf, car) * conditions.grip_factor
    transfer_s = car.transfer_s * (1.0 + car.transfer_per_click * (settings.shock_clicks - car.middle_click))
    weight = car.mass_kg * GRAVITY_M_PER_S2
    rear_n = weight * car.rear_share
    resistance = car.rolling * weight
    drag = 0.5 * conditions.air_density_kg_per_m3 * car.drag_area_m2
    shaft_inertia = car.wheel_inertia + car.input_inertia * gear * gear

    def rates(time: float, state: Floats) -> Floats:
        speed, wheel, engine = state[_SPEED], state[_WHEEL], state[_ENGINE]
        plate_n = (static_n + per_speed2 * engine * engine) * min(1.0, (time + 1e-9) / car.pedal_s)
        clutch = torque_per_n * plate_n * np.tanh((engine - gear * wheel) / car.lock_rad_per_s)
        load = np.minimum(rear_n + state[_MOVED], weight)
        bite = np.sin(car.tire_shape * np.arctan(car.tire_stiffness * state[_SLIP]))
        force = load * grip * bite * (1.0 - car.smear_loss * (1.0 - np.exp(-state[_HEAT] / car.smear_j)))
        push = (force - drag * speed * speed - resistance) / car.mass_kg
        out = np.empty_like(state)
        out[_DISTANCE] = speed
        out[_SPEED] = push
        out[_WHEEL] = (clutch * gear * car.efficiency - force * car.tire_radius_m) / shaft_inertia
        out[_ENGINE] = (engine_torque_nm(engine, density_ratio, car) - clutch) / car.engine_inertia
        follows = (speed + car.creep_m_per_s) * state[_SLIP]
        out[_SLIP] = (car.tire_radius_m * wheel - speed - follows) / car.tire_stretch_m
        out[_HEAT] = force * np.maximum(car.tire_radius_m * wheel - speed, 0.0)
        out[_MOVED] = (car.mass_kg * push * car.height_over_wheelbase - state[_MOVED]) / transfer_s
        return out

    return rates


def _runge_kutta(rates: Rates, time: float, state: Floats) -> Floats:
    h = LAUNCH_STEP_S
    k1 = rates(time, state)
    k2 = rates(time + h / 2, state + h / 2 * k1)
    k3 = rates(time + h / 2, state + h / 2 * k2)
    k4 = rates(time + h, state + h * k3)
    out: Floats = state + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
    return out


def _fraction(distance: float, before: Floats, after: Floats) -> tuple[Flags, Floats]:
    """Which cars pass a distance within this step, and at what part of it (linear in the step)."""
    passed = (before < distance) & (after >= distance)
    travel = np.where(passed, after - before, 1.0)
    return passed, (distance - before) / travel


def _note_crossing(reached: Floats, time: float, distance: float, before: Floats, after: Floats) -> None:
    passed, part = _fraction(distance, before[_DISTANCE], after[_DISTANCE])
    reached[passed] = (time + part * LAUNCH_STEP_S)[passed]


def _note_handover(ended: _Launch, time: float, before: Floats, after: Floats) -> None:
    passed, part = _fraction(HANDOVER_M, before[_DISTANCE], after[_DISTANCE])
    if passed.any():
        state = before + part * (after - before)
        ended.at_s[passed] = (time + part * LAUNCH_STEP_S)[passed]
        ended.speed[passed] = state[_SPEED][passed]
        ended.engine[passed] = state[_ENGINE][passed]


def _strip(launch: _Launch, conditions: Conditions, car: Car, last_ft: float) -> Runs:
    """Follow the cars from the hand-over to 1320 ft, clutch locked, tires rolling, shifting by hand.

    Notes
    -----
    Locked, engine and car share momentum: ``m_eff dv/dt = T gear eff / R - drag - rolling`` with
    ``m_eff = m + (I_wheel + (I_engine + I_input) gear^2) / R^2``. A shift costs `shift_s` of coasting;
    then the engine drops to the new gear's speed and gives the car its share of momentum.
    """
    runs = launch.at_s.size
    radius = car.tire_radius_m
    ratios = np.asarray(car.gears)
    density = conditions.air_density_kg_per_m3
    gear = np.zeros(runs, dtype=np.intp)
    coasting = np.zeros(runs)
    rotating = car.engine_inertia + car.input_inertia

    def mass_in(gear_number: NDArray[np.intp]) -> Floats:
        out: Floats = car.mass_kg + (car.wheel_inertia + rotating * ratios[gear_number] ** 2) / radius**2
        return out

    def push(speed: Floats, gear_number: NDArray[np.intp], drives: Floats) -> Floats:
        ratio = ratios[gear_number]
        torque = engine_torque_nm(speed / radius * ratio, density / car.reference_density, car)
        against = 0.5 * density * car.drag_area_m2 * speed**2 + car.rolling * car.mass_kg * GRAVITY_M_PER_S2
        out: Floats = (drives * torque * ratio * car.efficiency / radius - against) / mass_in(gear_number)
        return out

    carried = (launch.engine - launch.speed / radius * ratios[0]) * rotating * ratios[0] / radius
    speed = launch.speed + carried / mass_in(gear)
    distance = np.full(runs, HANDOVER_M)
    time = launch.at_s.copy()
    feet = (330.0, 594.0, 660.0, 1000.0, 1254.0, 1320.0)
    marks = {f: np.full(runs, np.nan) for f in feet}
    h = STRIP_STEP_S
    for _ in range(int(LONGEST_RUN_S / h)):
        drives = 1.0 - np.clip(coasting / h, 0.0, 1.0)
        middle = speed + h / 2 * push(speed, gear, drives)
        faster = speed + h * push(middle, gear, drives)
        further = distance + h * middle
        for f, reached in marks.items():
            passed, part = _fraction(ROLLOUT_M + f * FOOT_M, distance, further)
            reached[passed] = (time + part * h)[passed]
        was_coasting = coasting > 0.0
        coasting = np.maximum(coasting - h, 0.0)
        ends = was_coasting & (coasting == 0.0)
        lower, upper = ratios[np.maximum(gear - 1, 0)], ratios[gear]
        given = rotating * upper / radius * (lower - upper) * faster / radius / mass_in(gear)
        speed = np.where(ends, faster + given, faster)
        distance, time = further, time + h
        over = speed / radius * ratios[gear] > car.shift_rpm * RPM_RAD_PER_S
        shifts = over & (coasting == 0.0) & (gear < len(ratios) - 1)
        coasting = np.where(shifts, car.shift_s, coasting)
        gear = gear + shifts
        if not (np.isnan(marks[last_ft]) & ~np.isnan(time)).any():
            break
    return _runs(launch, marks)


def _runs(launch: _Launch, marks: dict[float, Floats]) -> Runs:
    start = launch.clock_start_s
    return Runs(
        t60_s=launch.t60_s,
        t330_s=marks[330.0] - start,
        t660_s=marks[660.0] - start,
        v660_mph=SPEED_TRAP_M / (marks[660.0] - marks[594.0]) / MPH_M_PER_S,
        t1000_s=marks[1000.0] - start,
        t1320_s=marks[1320.0] - start,
        v1320_mph=SPEED_TRAP_M / (marks[1320.0] - marks[1254.0]) / MPH_M_PER_S,
        peak_slip=launch.peak_slip,
        spin_s=launch.spin_s,
        lowest_rpm=launch.lowest_rpm,
    )
