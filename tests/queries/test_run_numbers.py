from __future__ import annotations

from tests.queries.given import at, runs_of, store


def test_runs_are_numbered_by_car_and_time_and_ties_by_order_of_entry() -> None:
    slips = [
        {"run_at": at("12:00"), "notes": "c", "entry_order": 7},
        {"run_at": at("12:00"), "notes": "b", "entry_order": 3},
        {"run_at": at("11:00"), "notes": "a", "entry_order": 9},
        {"run_at": at("10:00"), "car": "Cobalt", "notes": "other", "entry_order": 8},
    ]
    con = store(timeslips=slips)
    assert runs_of(con, "run_id, notes, run_of_event") == [
        (1, "other", 1), (2, "a", 1), (3, "b", 2), (4, "c", 3)
    ]  # fmt: skip


def test_an_event_without_a_name_is_date_and_venue() -> None:
    con = store(timeslips=[{"run_at": at("10:00")}, {"run_at": at("11:00"), "venue": None}])
    assert runs_of(con, "event") == [("2026-05-02 Cinder Flats",), ("2026-05-02",)]


def test_a_meeting_over_a_weekend_is_one_event() -> None:
    con = store(timeslips=[{"run_at": at(t), "event": "Opener"} for t in ("10:00", "03 10:00", "04 10:00")])
    assert runs_of(con, "event, run_of_event") == [("Opener", 1), ("Opener", 2), ("Opener", 3)]


def test_a_name_that_returns_later_is_another_event() -> None:
    con = store(
        timeslips=[{"run_at": at(t), "event": "Test night"} for t in ("10:00", "03 10:00", "09 10:00")]
    )
    assert runs_of(con, "event, run_of_event") == [
        ("Test night 2026-05-02", 1), ("Test night 2026-05-02", 2), ("Test night 2026-05-09", 1)
    ]  # fmt: skip


def test_a_run_whose_venue_is_not_known_stays_with_its_event() -> None:
    con = store(
        timeslips=[
            {"run_at": at("10:00"), "event": "Opener"},
            {"run_at": at("11:00"), "event": "Opener", "venue": None},
            {"run_at": None, "event": "Opener"},
        ]
    )
    assert runs_of(con, "event, run_of_event") == [("Opener", 1), ("Opener", 2), ("Opener", 3)]
