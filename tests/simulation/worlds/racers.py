"""How racers come by their settings, run after run."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from tests.simulation.worlds.frame import Floats, Whole, on_grid

Setting = dict[str, float]
Answer = Callable[[int, Mapping[str, float]], tuple[float, int]]

CHANGES = {
    "preload": 0.25,
    "counterweight": 0.2,
    "launch_rpm": 0.6,
    "tire_pressure": 0.25,
    "shock_clicks": 0.2,
    "wing_hole": 0.25,
}
"""Chance that a racer who wanders changes an adjustment before a run."""
MOVES = {
    "preload": 0.55,
    "counterweight": 1.1,
    "launch_rpm": 220.0,
    "tire_pressure": 0.9,
    "shock_clicks": 1.7,
    "wing_hole": 1.5,
}


@dataclass(frozen=True, slots=True)
class View:
    """What comes to a racer in a season, one entry a run; ``answer`` tells how a run went."""

    night: Whole
    part: Floats
    hot: Floats
    thick: Floats
    slick: Floats
    answer: Answer


@dataclass
class Racer:
    """One racer, with habits.

    Attributes
    ----------
    policy
        A name of `POLICIES`.
    home
        Where the settings start.
    size
        How boldly settings are moved, 1 as usual.
    pair
        The two adjustments that ``locked`` never moves apart.
    wary
        Lowers launch rpm after a run that spun, raises it after one that bogged, and learns from it.
    """

    policy: str
    home: Setting
    rng: np.random.Generator
    size: float = 1.0
    pair: tuple[str, str] = ("preload", "wing_hole")
    wary: bool = False
    _now: Setting = field(default_factory=dict)
    _start: Setting = field(default_factory=dict)
    _memory: dict[str, float] = field(default_factory=dict)
    _trying: tuple[str, float] | None = None

    def season(self, view: View) -> list[Setting]:
        """Walk through the season; gives the setting of every run."""
        self._now = {name: on_grid(name, value) for name, value in self.home.items()}
        self._start = dict(self._now)
        habit = POLICIES[self.policy]
        asks = self.wary or self.policy in ASKING
        out = []
        for i in range(view.night.size):
            habit(self, view, i, i == 0 or view.night[i] != view.night[i - 1])
            if self.wary:
                self._now["launch_rpm"] = on_grid(
                    "launch_rpm", self._now["launch_rpm"] - self._memory.pop("shy", 0.0)
                )
            if self.policy == "locked":
                self._follow()
            out.append(dict(self._now))
            if asks:
                self._remember(*view.answer(i, self._now))
        return out

    def _remember(self, time: float, wrong: int) -> None:
        usual = self._memory.get("usual", time)
        self._memory["before"] = self._memory.get("last", time)
        self._memory["last"] = time
        self._memory["late"] = float(np.clip((time - usual) / 0.02, -2, 2))
        self._memory["usual"] = usual + 0.15 * (min(time, usual + 0.03) - usual)
        if wrong:
            self._memory["shy"] = wrong * (100.0 + 50.0 * float(self.rng.integers(3)))
            self.home["launch_rpm"] -= 0.35 * self._memory["shy"] if self.wary else 0.0

    def _set(self, name: str, value: float) -> None:
        if name in self._now:
            self._now[name] = on_grid(name, value)

    def _step(self, name: str) -> float:
        return float(MOVES[name] * self.size * self.rng.normal())

    def _follow(self) -> None:
        leader, follower = self.pair
        part = (self._now[leader] - self._start[leader]) / (2 * MOVES[leader])
        self._now[follower] = self._start[follower] + part * 1.5 * MOVES[follower]

    def wander(self, view: View, i: int, first: bool, aim: Mapping[str, float] | None = None) -> None:
        """Change this and that about an aim, whatever comes."""
        aim = self.home if aim is None else aim
        for name in self._now:
            if self.rng.random() < (0.7 if first else CHANGES[name]):
                self._set(name, aim[name] + self._step(name))

    def weather(self, view: View, i: int, first: bool) -> None:
        """Lower the rpm and the clutch for a hot track and good air."""
        hot, thick = view.hot[i], view.thick[i]
        aim = dict(self.home)
        aim["launch_rpm"] -= 90 * hot + 60 * thick
        aim["preload"] -= 0.12 * hot
        aim["tire_pressure"] -= 0.25 * hot
        self.wander(view, i, first, aim)
        self._set("launch_rpm", aim["launch_rpm"] + 0.4 * self._step("launch_rpm"))

    def unseen(self, view: View, i: int, first: bool) -> None:
        """Feel what no gun shows: less of everything on a slick night; also the weather and the last slip."""
        slick = view.slick[i]
        aim = dict(self.home)
        aim["launch_rpm"] -= 70 * view.hot[i] + 120 * slick + 50 * self._memory.get("late", 0.0)
        aim["preload"] -= 0.3 * slick
        aim["counterweight"] -= 0.5 * slick
        self.wander(view, i, first, aim)

    def chase(self, view: View, i: int, first: bool) -> None:
        """Go on with the last change if the slip was quicker, else take it back and try another."""
        if self._trying is not None and self._memory["last"] > self._memory["before"]:
            name, step = self._trying
            self._set(name, self._now[name] - step)
            self._trying = None
        if self._trying is None and self.rng.random() < 0.85:
            names = (*self._now, "launch_rpm", "launch_rpm")
            name = names[int(self.rng.integers(len(names)))]
            way = 0.8 if self.rng.random() < 0.5 else -0.8
            self._trying = (name, way * self.size * MOVES[name])
        if self._trying is not None:
            name, step = self._trying
            before = self._now[name]
            self._set(name, before + step)
            if self._now[name] == before:
                self._trying = None

    def answers(self, view: View, i: int, first: bool) -> None:
        """Answer the slip just before with the rpm: down after a slow run, up after a quick one."""
        aim = dict(self.home)
        aim["launch_rpm"] -= 120 * self._memory.get("late", 0.0)
        self.wander(view, i, first, aim)
        self._set("launch_rpm", aim["launch_rpm"] + 0.3 * self._step("launch_rpm"))

    def timid(self, view: View, i: int, first: bool) -> None:
        """Hardly change anything."""
        for name in self._now:
            if self.rng.random() < (0.2 if first else 0.04):
                self._set(name, self.home[name] + 0.5 * self._step(name))

    def through_night(self, view: View, i: int, first: bool) -> None:
        """Add preload as the night goes on, and some rpm."""
        self.wander(view, i, first)
        self._set("preload", self.home["preload"] - 0.5 + 1.3 * view.part[i] + 0.3 * self._step("preload"))
        self._set("launch_rpm", self._now["launch_rpm"] + 40 * (view.part[i] - 0.5))

    def explore(self, view: View, i: int, first: bool) -> None:
        """Set out to learn: every adjustment high, middle or low in a shuffled order."""
        names = list(self._now)
        levels = self.rng.choice([-1.2, 0.0, 1.2], len(names))
        for name, level in zip(names, levels, strict=True):
            if first or self.rng.random() < 0.65:
                self._set(name, self.home[name] + level * self.size * MOVES[name])


POLICIES: dict[str, Callable[[Racer, View, int, bool], None]] = {
    "free": Racer.wander,
    "weather": Racer.weather,
    "unseen": Racer.unseen,
    "chase": Racer.chase,
    "answers": Racer.answers,
    "timid": Racer.timid,
    "through_night": Racer.through_night,
    "locked": Racer.wander,
    "explore": Racer.explore,
}
ASKING = ("chase", "unseen", "answers")
