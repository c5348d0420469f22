from __future__ import annotations

import pytest

from tests.queries.given import at, runs_of, store

CLOCKS = ("10:00", "11:00", "06 10:00", "06 11:00", "07 10:00")
SLIPS = [{"run_at": at(clock)} for clock in CLOCKS]


def ages(column: str, **sheets: list[dict[str, object]]) -> list[int | None]:
    return [row[0] for row in runs_of(store(**{"timeslips": SLIPS, **sheets}), column)]


@pytest.mark.parametrize("sheet", [{"checks": "checked_at"}, {"setups": "set_at"}])
def test_runs_are_counted_from_a_word_on_either_sheet(sheet: dict[str, str]) -> None:
    ((name, moment),) = sheet.items()
    rows: list[dict[str, object]] = [{moment: at("10:30"), "notes": "New slicks, 11 psi."}]
    assert ages("runs_on_tires", **{name: rows}) == [None, 0, 1, 2, 3]


def test_a_slip_can_say_it_and_says_so_of_itself() -> None:
    slips = [
        {**slip, "notes": note}
        for slip, note in zip(SLIPS, (None, None, "fresh tires", None, None), strict=True)
    ]
    assert ages("runs_on_tires", timeslips=slips) == [None, None, 0, 1, 2]


def test_tires_called_new_once_more_are_the_same_tires() -> None:
    notes = (None, None, "new tires", "new tires hook well", "tires still new")
    slips = [{**slip, "notes": note} for slip, note in zip(SLIPS, notes, strict=True)]
    assert ages("runs_on_tires", timeslips=slips) == [None, None, 0, 1, 2]


def test_another_set_starts_the_count_again() -> None:
    rows: list[dict[str, object]] = [
        {"checked_at": at("09:00"), "notes": "mounted a new pair of tires"},
        {"checked_at": at("06 10:30"), "notes": "tires changed"},
    ]
    assert ages("runs_on_tires", checks=rows) == [0, 1, 2, 0, 1]


def test_tires_and_disc_are_counted_apart() -> None:
    rows: list[dict[str, object]] = [{"checked_at": at("10:30"), "notes": "new disc; replaced the tires"}]
    assert ages("(runs_on_disc, runs_on_tires)", checks=rows)[1:] == [(0, 0), (1, 1), (2, 2), (3, 3)]
    rows = [{"checked_at": at("10:30"), "notes": "put in a new disk"}]
    assert ages("(runs_on_disc, runs_on_tires)", checks=rows)[1:3] == [(0, None), (1, None)]


@pytest.mark.parametrize(
    "note",
    [
        "changed tire pressure to 11",
        "need new tires",
        "tires not new",
        "new tires next week",
        "fresh rubber on the track",
        "should have changed tires",
        "new disc thickness 0.31",
        "didn't change tires",
        "new tires?",
        "tires smoked",
    ],
)
def test_what_only_speaks_of_tires_starts_no_count(note: str) -> None:
    rows: list[dict[str, object]] = [{"checked_at": at("09:00"), "notes": note}]
    assert ages("coalesce(runs_on_tires, runs_on_disc)", checks=rows) == [None] * 5


def test_another_cars_tires_are_its_own() -> None:
    rows: list[dict[str, object]] = [{"car": "Otter", "checked_at": at("09:00"), "notes": "new tires"}]
    assert ages("runs_on_tires", checks=rows) == [None] * 5
