"""The motion of one launch, followed in small steps, and a table of it for quick reading.

An engine with a lower end to its useful range, a slipping clutch, a tire whose grip has a peak, and a car
whose weight moves late. Too much launch rpm or clutch for the grip: the tire passes its peak, smears, and
60 ft jumps. Too little rpm for the clutch: the engine is pulled below its range and bogs. Nothing here is
a polynomial in the settings.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
LB_N, INCH_M, FOOT_M, LBFT_NM = 4.4482216, 0.0254, 0.3048, 1.3558179
RPM = 2 * np.pi / 60
GRAVITY = 9.80665
STEP_S = 0.004
REFERENCE_DENSITY = 1.17

AXES = ("static_lb", "lever_g", "shock_clicks", "density", "launch_rpm", "grip")
NODES: tuple[Floats, ...] = (
    np.linspace(340.0, 900.0, 8),
    np.linspace(25.0, 39.4, 7),
    np.array([1.0, 6.0, 11.0]),
    np.linspace(0.93, 1.27, 11),
    np.linspace(4600.0, 8000.0, 18),
    np.linspace(1.75, 2.65, 31),
)
SMOOTH_AXES = (0, 1, 4)
"""Axes read by a smooth curve through four nodes; the rest by a straight line between two. A launch that bogs
bends so sharply in density that three nodes were 49 ms off, and put a kink into the middle of every season;
with eleven the table is 4 ms off where racers are."""
WINDOW = 6
"""Grip nodes read around a point: burnouts may differ from it by about three per cent."""
OUTPUTS = ("t60", "t330", "spin_s", "lowest_rpm")
SPUN_S, BOGGED_RPM = 0.95, 4700.0
_ENDS = tuple((float(nodes[0]), float(nodes[1] - nodes[0])) for nodes in NODES)
TABLE_FILE = Path(__file__).with_name("motion_table.npz")


@dataclass(frozen=True, slots=True)
class Machine:
    """The invented car, SI inside."""

    mass: float = 1230.0
    rear_share: float = 0.50
    height_over_wheelbase: float = 0.25
    radius: float = 0.36
    stretch: float = 0.15
    creep: float = 3.5
    stiffness: float = 7.5
    shape: float = 1.40
    smear_loss: float = 0.20
    smear_j: float = 110000.0
    transfer_s: float = 0.20
    transfer_per_click: float = 0.04
    gear: float = 10.0
    efficiency: float = 0.9
    peak_lbft: float = 560.0
    peak_rpm: float = 6700.0
    fall_lbft: float = 42.0
    lower_end_rpm: float = 5000.0
    lower_width_rpm: float = 250.0
    rescue_rpm: float = 4650.0
    """Below it the driver's foot takes load off the plate."""
    engine_inertia: float = 0.34
    wheel_inertia: float = 6.5
    friction: float = 0.37
    clutch_radius_in: float = 4.25
    levers: int = 6
    lever_radius_in: float = 3.5
    lever_ratio: float = 0.8
    pedal_s: float = 0.065
    power_w: float = 445000.0


MACHINE = Machine()


def simulate(at: Floats, car: Machine = MACHINE) -> Floats:
    """Follow launches from points of the table's box, shape (n, 6), to the outputs, shape (4, n)."""
    static, lever, clicks, density, rpm, grip = at.T
    ratio = density / REFERENCE_DENSITY
    per_n = car.friction * 2 * car.clutch_radius_in * INCH_M
    levers = car.levers * lever / 1000 * car.lever_radius_in * INCH_M * car.lever_ratio
    late = car.transfer_s * (1 + car.transfer_per_click * (clicks - 6))
    rates = _equations(car, static * LB_N, levers, per_n, ratio, grip, late)
    n = len(at)
    state = np.zeros((7, n))
    state[3] = rpm * RPM
    start, end, v60 = np.full(n, np.nan), np.full(n, np.nan), np.full(n, np.nan)
    spin, lowest = np.zeros(n), rpm.copy()
    past = 1.6 * np.tan(np.pi / 2 / car.shape) / car.stiffness
    marks = ((FOOT_M, start), (61 * FOOT_M, end))
    for step in range(int(4.0 / STEP_S)):
        time, before = step * STEP_S, state
        state = _runge_kutta(rates, time, before)
        for distance, reached in marks:
            hit = (before[0] < distance) & (state[0] >= distance)
            part = (distance - before[0]) / np.where(hit, state[0] - before[0], 1.0)
            reached[hit] = (time + part * STEP_S)[hit]
            if reached is end:
                v60[hit] = state[1][hit]
        going = np.isnan(end)
        spin += np.where(going & (state[4] > past), STEP_S, 0.0)
        lowest = np.where(going, np.minimum(lowest, state[3] / RPM), lowest)
        if not going.any():
            break
    t60 = end - start
    power = car.power_w * ratio
    v330 = np.cbrt(v60**3 + 3 * power * 270 * FOOT_M / car.mass)
    return np.stack([t60, t60 + car.mass * (v330**2 - v60**2) / (2 * power), spin, lowest])


def _equations(
    car: Machine, static_n: Floats, levers: Floats, per_n: float, ratio: Floats, grip: Floats, late: Floats
) -> Callable[[float, Floats], Floats]:
    """Rates of distance, speed, wheel, engine, slip, weight moved, sliding heat."""
    weight = car.mass * GRAVITY

    def rates(time: float, y: Floats) -> Floats:
        saved = np.clip(y[3] / RPM / car.rescue_rpm, 0.3, 1.0) ** 6
        plate = (static_n + levers * y[3] ** 2) * min(1.0, (time + 1e-9) / car.pedal_s) * saved
        clutch = per_n * plate * np.tanh((y[3] - car.gear * y[2]) / 20.0)
        load = np.minimum(weight * car.rear_share + y[5], weight)
        bite = np.sin(car.shape * np.arctan(car.stiffness * y[4]))
        force = load * grip * bite * (1 - car.smear_loss * (1 - np.exp(-y[6] / car.smear_j)))
        push = force / car.mass - 0.03 * GRAVITY - 0.0003 * y[1] ** 2
        rpm = np.maximum(y[3], 0.0) / RPM
        useful = 0.87 + 0.13 / (1 + np.exp((car.lower_end_rpm - rpm) / car.lower_width_rpm))
        pull = np.maximum(car.peak_lbft - car.fall_lbft * ((rpm - car.peak_rpm) / 1000) ** 2, 330.0)
        torque = LBFT_NM * ((pull + 60) * ratio * useful - 60)
        out = np.empty_like(y)
        out[0], out[1] = y[1], push
        out[2] = (clutch * car.gear * car.efficiency - force * car.radius) / car.wheel_inertia
        out[3] = (torque - clutch) / car.engine_inertia
        out[4] = (car.radius * y[2] - y[1] - (y[1] + car.creep) * y[4]) / car.stretch
        out[5] = (car.mass * push * car.height_over_wheelbase - y[5]) / late
        out[6] = force * np.maximum(car.radius * y[2] - y[1], 0.0)
        return out

    return rates


def _runge_kutta(rates: Callable[[float, Floats], Floats], time: float, y: Floats) -> Floats:
    h = STEP_S
    a = rates(time, y)
    b = rates(time + h / 2, y + h / 2 * a)
    c = rates(time + h / 2, y + h / 2 * b)
    out: Floats = y + h / 6 * (a + 2 * b + 2 * c + rates(time + h, y + h * c))
    return out


@cache
def table() -> NDArray[np.float32]:
    """Outputs at every node, shape (nodes of all axes, outputs); made once (minutes) and kept on disk."""
    grid = np.meshgrid(*NODES, indexing="ij")
    at = np.stack([g.ravel() for g in grid], axis=1)
    if TABLE_FILE.exists():
        kept: NDArray[np.float32] = np.load(TABLE_FILE)["table"].reshape(-1, len(OUTPUTS))
        if len(kept) == len(at):  # else it is of other nodes
            return kept
    values = np.concatenate([simulate(at[i : i + 4096]) for i in range(0, len(at), 4096)], axis=1)
    made = np.nan_to_num(values, nan=2.4).T.astype(np.float32)
    np.savez_compressed(TABLE_FILE, table=made)
    return made


def read(at: Floats, factors: Floats) -> Floats:
    """Outputs at points of the box for each grip factor.

    Parameters
    ----------
    at
        Shape (n, 6), axes in the order of `AXES`; what lies outside the box is read at its edge.
    factors
        Grip factors of single burnouts, within 3 per cent of 1: shape (k,) for all points, or (n, k).

    Returns
    -------
    shape (outputs, n, k)
    """
    if len(at) > 512:
        each = np.broadcast_to(np.atleast_2d(factors), (len(at), np.shape(factors)[-1]))
        parts = [read(at[i : i + 512], each[i : i + 512]) for i in range(0, len(at), 512)]
        return np.concatenate(parts, axis=1)
    n = len(at)
    rows = np.arange(n)
    window = WINDOW
    if np.shape(factors)[-1] == 1:
        at = at.copy()
        at[:, 5] *= np.broadcast_to(factors, (n, 1))[:, 0]
        factors, window = np.ones(1), 2
    index = np.zeros((n, 1), dtype=np.intp)
    weight = np.ones((n, 1))
    for axis, nodes in enumerate(NODES[:-1]):
        cells, shares = (_cubic if axis in SMOOTH_AXES else _linear)(at[:, axis], nodes)
        index = (index[:, :, None] * nodes.size + cells[:, None, :]).reshape(n, -1)
        weight = (weight[:, :, None] * shares[:, None, :]).reshape(n, -1)
    nodes = NODES[-1]
    step = nodes[1] - nodes[0]
    margin = 0.97 if window > 2 else 1.0
    lowest = np.clip((at[:, 5] * margin - nodes[0]) / step, 0, nodes.size - window).astype(np.intp)
    index = index * nodes.size + lowest[:, None]
    by_grip = np.matmul(weight[:, None, :], _windows(window)[index])
    by_grip = by_grip.reshape(n, window, len(OUTPUTS))
    place = (at[:, 5][:, None] * np.atleast_2d(factors) - nodes[0]) / step - lowest[:, None]
    place = np.clip(place, 0, window - 1 - 1e-9)
    low = place.astype(np.intp)
    share = (place - low)[:, :, None]
    out = by_grip[rows[:, None], low] * (1 - share) + by_grip[rows[:, None], low + 1] * share
    return np.moveaxis(out, -1, 0)


@cache
def _windows(size: int) -> Floats:
    """Every node's outputs with those of the grips after it, a row each, so that a row is read at one go."""
    flat = table().astype(np.float64).reshape(-1)
    rows = np.lib.stride_tricks.sliding_window_view(flat, size * len(OUTPUTS))
    return rows[:: len(OUTPUTS)]


def _linear(values: Floats, nodes: Floats) -> tuple[NDArray[np.intp], Floats]:
    """Two neighbouring nodes and their weights, shape (n, 2) each."""
    place = np.clip((values - nodes[0]) / (nodes[1] - nodes[0]), 0, nodes.size - 1 - 1e-9)
    low = place.astype(np.intp)
    share = place - low
    return low[:, None] + np.arange(2), np.stack([1 - share, share], axis=1)


def _cubic(values: Floats, nodes: Floats) -> tuple[NDArray[np.intp], Floats]:
    """Four neighbouring nodes and their smooth (Catmull-Rom) weights, shape (n, 4) each."""
    place = np.clip((values - nodes[0]) / (nodes[1] - nodes[0]), 0, nodes.size - 1 - 1e-9)
    low = place.astype(np.intp)
    t = (place - low)[:, None]
    powers = np.concatenate([np.ones_like(t), t, t * t, t**3], axis=1)
    shares = powers @ np.array([[0, 1, 0, 0], [-0.5, 0, 0.5, 0], [1, -2.5, 2, -0.5], [-0.5, 1.5, -1.5, 0.5]])
    return np.clip(low[:, None] + np.arange(-1, 3), 0, nodes.size - 1), shares


@cache
def _padded() -> NDArray[np.float32]:
    """The table as an array of all axes, one more node at each end of those that are read by four."""
    shape = [nodes.size for nodes in NODES]
    full = table().reshape(*shape, len(OUTPUTS))
    pad = [(1, 1) if axis in SMOOTH_AXES else (0, 0) for axis in range(len(shape) + 1)]
    return np.pad(full, pad, mode="edge")


def read_one(at: Sequence[float]) -> list[float]:
    """Outputs at one point of the box, as `read` gives them for the grip as it is; quicker than that."""
    cut, shares = [], []
    for axis, nodes in enumerate(NODES):
        first, step = _ENDS[axis]
        place = min(max((at[axis] - first) / step, 0.0), nodes.size - 1 - 1e-9)
        low = int(place)
        t = place - low
        if axis in SMOOTH_AXES:
            cut.append(slice(low, low + 4))
            shares.append(
                np.array(
                    [
                        t * (-0.5 + t * (1 - 0.5 * t)),
                        1 + t * t * (1.5 * t - 2.5),
                        t * (0.5 + t * (2 - 1.5 * t)),
                        t * t * (0.5 * t - 0.5),
                    ]
                )
            )
        else:
            cut.append(slice(low, low + 2))
            shares.append(np.array([1 - t, t]))
    part = _padded()[tuple(cut)].astype(np.float64)
    for share in shares:
        part = share @ part.reshape(share.size, -1)
    out: list[float] = part.tolist()
    return out
