"""The bench card's setting: as asked for on the command line, else as last run."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import polars as pl
import pytest

from pipeline import stages
from pipeline.decide.bench import bench_card_of
from pipeline.errors import RequestError
from pipeline.garage.parts import Car, Clutch
from pipeline.workspace import ForecastAsked, Workspace

CLUTCH = Clutch.model_validate(
    {
        "name": "eight-screw", "screws": 8, "base_load": "300 lb", "spring_rate": "125 lb/in",
        "threads_per_inch": 20,
        "counterweight_hardware": {"steel nut": "3.6 g", "steel bolt 1 in": "7.9 g"},
    }
)  # fmt: skip
RUNS = pl.DataFrame(
    {
        "run_id": [1, 2],
        "run_at": [datetime(2026, 5, 2, 10), datetime(2026, 5, 2, 11)],
        "preload_turns": [2.0, 3.0],
        "counterweight_g": [6.0, None],
        "launch_rpm": [6000.0, 6200.0],
        "wear_in": [0.0, 0.0],
    }
)


def car(clutch: Clutch | None = CLUTCH, runs: pl.DataFrame = RUNS) -> Any:
    garage_car = Car.model_validate(
        {"name": "Marigold", "shift_rpm": 8600, "launch_rpm_limits": [4500, 7000]}
    )
    return SimpleNamespace(
        car="Marigold",
        clutch=clutch,
        garage_car=garage_car,
        runs=runs,
        setups=None,
        wear=None,
        checks=pl.DataFrame(),
    )


def setting_of(**asked: str | None) -> Any:
    wanted = {"turns": None, "counterweight": None, "rpm": None, **asked}
    return bench_card_of(car(), **wanted).setting  # type: ignore[arg-type]


def test_what_is_not_asked_for_is_as_last_run() -> None:
    setting = setting_of()
    assert (setting.turns, setting.counterweight_g, setting.launch_rpm, setting.shift_rpm) == (
        (3.0,), 6.0, 6200.0, 8600.0
    )  # fmt: skip


COUNTERWEIGHTS = [
    ("7", 7.0),
    ("7.5 g", 7.5),
    ("0.25 oz", 7.0873808),
    ("2 steel nuts + 1 steel bolt 1 in", 15.1),
    ("steel nut", 3.6),
    # Not in the garage: geometry and density (ASME B18.2.2 dimensions [seen], handbook density [memory]).
    ("1/4-20 steel nut", 3.619),
    ("2 x 1/4-20 aluminum nut, 1 steel nut", 2 * 1.245 + 3.6),
]


@pytest.mark.parametrize(("typed", "grams"), COUNTERWEIGHTS)
def test_counterweight_is_grams_or_hardware(typed: str, grams: float) -> None:
    assert setting_of(counterweight=typed).counterweight_g == pytest.approx(grams, rel=3e-4)


def test_turns_are_one_or_each_screws() -> None:
    assert setting_of(turns="3 3 3.5 3 3 3 3 3").turns == (3.0, 3.0, 3.5, *[3.0] * 5)


@pytest.mark.parametrize(
    "asked", [{"counterweight": "3 washers"}, {"turns": "three"}, {"rpm": "fast"}, {"counterweight": "7 psi"}]
)
def test_what_can_not_be_read_is_refused(asked: dict[str, str]) -> None:
    with pytest.raises(RequestError, match="cannot be read"):
        setting_of(**asked)


def test_an_undescribed_clutch_is_refused() -> None:
    with pytest.raises(RequestError, match="clutch of Marigold is not described"):
        bench_card_of(car(clutch=None), turns=None, counterweight=None, rpm=None)


def test_no_run_and_no_option_is_refused() -> None:
    with pytest.raises(RequestError, match="Give it with --turns"):
        bench_card_of(car(runs=RUNS.clear()), turns=None, counterweight=None, rpm=None)


@pytest.mark.parametrize(("rpm", "passed"), [("6200", True), ("9500", False)])
def test_launch_rpm_is_judged_by_the_limits_of_the_car(rpm: str, passed: bool) -> None:
    card = bench_card_of(car(), turns=None, counterweight=None, rpm=rpm)
    assert [check.passed for check in card.checks if check.what == "launch rpm"] == [passed]


def test_before_the_first_run_the_card_is_of_the_setup_sheet(tmp_path: Path) -> None:
    clutch = 'screws = 8\nbase_load = "300 lb"\nspring_rate = "125 lb/in"\nthreads_per_inch = 20\n'
    garage = f'[[car]]\nname = "Marigold"\nclutch = "eight"\n[[clutch]]\nname = "eight"\n{clutch}'
    (tmp_path / "garage.toml").write_text(garage, encoding="utf-8")
    head = "date,time,car,preload turns,counterweight (g),launch rpm"
    sheet = f"{head}\n2031-05-02,9:00,Marigold,2,4,6200\n"
    (tmp_path / "setups.csv").write_text(sheet, encoding="utf-8")
    space = Workspace.of(tmp_path, store=None, out=None)
    text = stages.clutch(space, turns=None, counterweight=None, rpm=None, car=None).text
    assert text.startswith("Preload 400 lb now")
    with pytest.raises(RequestError, match="no run"):
        stages.next_setting(space, ForecastAsked(), quick_only=False, car=None)
