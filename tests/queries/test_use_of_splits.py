from __future__ import annotations

from typing import Any

import pytest

from tests.queries.given import at, runs_of, store

ALL, NONE, SHORT = (True, True, True), (False, False, False), (True, False, False)
OUTCOMES: list[tuple[str | None, int | None, tuple[bool, ...], str | None]] = [
    # outcome, where it went wrong, (60, 60-330, 330), reason
    ("clean", None, ALL, None),
    (None, None, ALL, None),
    ("spun", None, ALL, None),
    ("bogged", None, ALL, None),
    ("red light", None, ALL, None),
    ("missed shift", None, SHORT, "missed shift after 60 ft: later splits do not count"),
    ("missed shift", 60, SHORT, "missed shift after 60 ft: later splits do not count"),
    ("missed shift", 330, ALL, None),
    ("lifted", None, ALL, None),
    ("lifted", 60, SHORT, "lifted after 60 ft: later splits do not count"),
    ("lifted", 1000, ALL, None),
    ("aborted", None, NONE, "aborted, not known where: no split counts"),
    ("aborted", 60, SHORT, "aborted after 60 ft: later splits do not count"),
    ("broke", None, NONE, "broke, not known where: no split counts"),
    ("broke", 330, ALL, None),
]
CASES: list[tuple[dict[str, Any], tuple[bool, ...], str | None]] = [
    *(({"outcome": word, "lifted_after_ft": where}, use, reason) for word, where, use, reason in OUTCOMES),
    ({"t60_s": None}, (False, False, True), "no 60 ft time"),
    ({"t330_s": None}, (True, False, False), "no 330 ft time"),
    ({"t60_s": None, "questioned": ["t60_s"]}, (False, False, True), "60 ft time under question"),
    ({"t330_s": None, "questioned": ["t330_s"]}, (True, False, False), "330 ft time under question"),
    ({"questioned": ["v1320_mph", "notes"]}, ALL, None),
    ({"outcome": None, "questioned": ["outcome"]}, NONE, "outcome under question"),
    (
        {"t60_s": None, "outcome": "missed shift"},
        NONE,
        "missed shift after 60 ft: later splits do not count; no 60 ft time",
    ),
]


@pytest.fixture(scope="module")
def found() -> list[tuple[Any, ...]]:
    con = store(timeslips=[{"run_at": at("10:00"), **slip} for slip, _, _ in CASES])
    return runs_of(con, "use_t60, use_t60_330, use_t330, left_out_reason")


@pytest.mark.parametrize("case", range(len(CASES)), ids=[str(slip) for slip, _, _ in CASES])
def test_runs_are_left_out_by_cause(case: int, found: list[tuple[Any, ...]]) -> None:
    _, use, reason = CASES[case]
    assert found[case] == (*use, reason)
