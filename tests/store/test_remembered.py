"""Nothing is done twice, and nothing that changed is taken for unchanged."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pipeline import stages
from pipeline.decide import fitted_car
from pipeline.ingest import opening
from pipeline.store import remembered
from pipeline.workspace import Outcome, Workspace

DEMO = Path(__file__).parents[2] / "sample_timeslips" / "logbook"
SLIPS = "slips late season.csv"


@pytest.fixture
def space(tmp_path: Path) -> Workspace:
    (tmp_path / "logbook").mkdir()
    for name in ("garage.toml", SLIPS):  # a quick part of it
        shutil.copy(DEMO / name, tmp_path / "logbook")
    return Workspace.of(tmp_path / "logbook", store=None, out=None)


@pytest.fixture
def readings(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every reading of all sheets from now on."""
    return counted(monkeypatch, opening, "ingest_logbook")


def counted(monkeypatch: pytest.MonkeyPatch, module: Any, name: str) -> list[str]:
    calls: list[str] = []
    real = getattr(module, name)

    def call(*given: Any, **named: Any) -> Any:
        calls.append(name)
        return real(*given, **named)

    monkeypatch.setattr(module, name, call)
    return calls


def card(space: Workspace) -> Outcome:
    return stages.clutch(space, turns="3", counterweight="6g", rpm="6200", car=None)


def fresh(space: Workspace) -> Workspace:
    return Workspace.of(space.logbook, store=space.store, out=space.out, fresh=True)


def add_a_slip(space: Workspace) -> None:
    sheet = space.logbook / SLIPS
    lines = sheet.read_text(encoding="utf-8").splitlines()
    sheet.write_text("\n".join([*lines, lines[-1]]) + "\n", encoding="utf-8")


def test_the_same_asked_again_reads_and_draws_nothing(space: Workspace, readings: list[str]) -> None:
    first = card(space)
    stood = {path: path.stat().st_mtime_ns for path in (*first.files, space.store)}
    assert card(space) == first
    assert readings == ["ingest_logbook"]
    assert {path: path.stat().st_mtime_ns for path in stood} == stood


@pytest.mark.parametrize("harm", [lambda page: page.unlink(), lambda page: page.write_text("mine")])
def test_a_page_that_is_gone_or_changed_is_drawn_again(
    space: Workspace, readings: list[str], harm: Callable[[Path], object]
) -> None:
    page = card(space).files[0]
    drawn = page.read_text(encoding="utf-8")
    harm(page)
    assert card(space).files[0] == page
    assert len(page.read_text(encoding="utf-8")) == len(drawn)
    assert readings == ["ingest_logbook"]


@pytest.mark.parametrize(
    "change",
    [
        add_a_slip,
        lambda space: shutil.copy(DEMO / "weather.csv", space.logbook / "air.csv"),
        lambda space: (space.logbook / SLIPS).rename(space.logbook / "late.csv"),
    ],
)
def test_whatever_changes_is_read(
    space: Workspace, readings: list[str], change: Callable[[Workspace], object]
) -> None:
    stages.ingest(space)
    change(space)
    changed = stages.ingest(space)
    assert len(readings) == 2
    anew = stages.ingest(Workspace.of(space.logbook, store=space.logbook / "new.duckdb", out=None))
    assert anew == changed


def test_other_options_are_another_request(space: Workspace) -> None:
    lower = stages.clutch(space, turns="2", counterweight="6g", rpm="6200", car=None)
    assert card(space).document != lower.document


def test_what_asks_how_the_runs_were_put_together_finds_it_when_nothing_is_read(
    space: Workspace, readings: list[str]
) -> None:
    first = stages.attached(space, event=None, car=None)
    stages.ingest(space)
    (space.out / "attached.html").unlink()
    again = stages.attached(space, event=None, car=None)
    assert readings == ["ingest_logbook"]
    assert {**again.document, "generated_at": ""} == {**first.document, "generated_at": ""}


def test_fresh_does_all_anew_and_finds_the_same(space: Workspace, readings: list[str]) -> None:
    first = card(space)
    again = card(fresh(space))
    assert len(readings) == 2
    assert again.text == first.text
    assert {**again.document, "generated_at": ""} == {**first.document, "generated_at": ""}


def test_another_slipledger_or_library_reads_anew(
    space: Workspace, readings: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    stages.ingest(space)
    monkeypatch.setattr(remembered, "program_mark", lambda: "newer")
    stages.ingest(space)
    assert len(readings) == 2


def test_a_build_that_fails_is_not_remembered(
    space: Workspace, readings: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(_con: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(opening, "build_runs", stop)
        with pytest.raises(KeyboardInterrupt):
            stages.ingest(space)
    stages.ingest(space)
    assert len(readings) == 2


def test_a_sheet_saved_while_it_is_read_is_read_again(
    space: Workspace, readings: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = opening.build_runs

    def save_meanwhile(con: Any) -> None:
        real(con)
        add_a_slip(space)

    with monkeypatch.context() as patched:
        patched.setattr(opening, "build_runs", save_meanwhile)
        stages.ingest(space)
    stages.ingest(space)
    assert len(readings) == 2


def test_a_fit_of_rows_read_before_a_save_is_not_kept_for_those_after(
    space: Workspace, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = opening.build_runs

    def save_meanwhile(con: Any) -> None:
        real(con)
        sheet = space.logbook / SLIPS
        heading, _, *others = sheet.read_text(encoding="utf-8").splitlines()
        sheet.write_text("\n".join([heading, *others]) + "\n", encoding="utf-8")

    with monkeypatch.context() as patched:
        patched.setattr(opening, "build_runs", save_meanwhile)
        stages.fit(space, car=None)
    fits = counted(monkeypatch, fitted_car, "fit_season")
    stages.fit(space, car=None)
    assert fits == ["fit_season"]


def test_a_car_whose_runs_are_the_same_is_not_fitted_again(
    space: Workspace, monkeypatch: pytest.MonkeyPatch
) -> None:
    fits = counted(monkeypatch, fitted_car, "fit_season")
    first = stages.fit(space, car=None)
    (space.logbook / "the last.csv").write_text("Remark\nNothing of this is read\n", encoding="utf-8")
    again = stages.fit(space, car=None)
    assert fits == ["fit_season"]
    assert json.dumps(again.document) == json.dumps(first.document)
