"""Every rule is a small file that says why, how strongly and what it suggests, and is run."""

import re
from pathlib import Path

import pytest

from pipeline.garage.dictionary import SHEET_TABLES, TIMESLIPS
from pipeline.ingest.doubts import LAST_GUESSES, PREPARE, RANKING, RULES, SLIP_GUESSES
from pipeline.store.database import query, query_names
from tests.ingest.doubt_cases import empty_store, run_rules

FILES = [name for name in query_names("doubts") if name.count("/") == 1]
CASES = ("test_doubts_days.py", "test_doubts_sheets.py", "test_doubts_slips.py")
GIVEN_AND_EXPECTED = "".join(Path(__file__).with_name(name).read_text(encoding="utf-8") for name in CASES)
RUN = (*SLIP_GUESSES, *LAST_GUESSES, *RULES)


def test_every_rule_file_is_run_once() -> None:
    assert sorted(RUN) == sorted(name.removeprefix("doubts/") for name in FILES)
    assert len(PREPARE) == len(set(PREPARE))


def test_every_rule_has_its_place_in_the_ranking() -> None:
    assert sorted(RANKING) == sorted(RUN)


@pytest.mark.parametrize("name", FILES)
def test_a_rule_says_why_how_strongly_and_what_it_suggests(name: str) -> None:
    header = [line for line in query(name).splitlines() if line.startswith("--")]
    told = "\n".join(header)
    for part in ("Reason", "Severity", "Suggests"):
        assert re.search(rf"\b{part}\b[^:]*: \w", told), (name, part)


@pytest.mark.parametrize("name", RUN)
def test_every_rule_has_a_given_and_an_expected(name: str) -> None:
    assert f'"{name}"' in GIVEN_AND_EXPECTED


RANGES = {
    column.name: (column.low, column.high)
    for table in SHEET_TABLES.values()
    for column in table.columns
    if column.low is not None
}
NARROWER_OR_OF_ANOTHER = {
    ("air_temp_degf", 46, 130),  # warm air only: a track below it is doubtful
    ("reaction_s", *RANGES["t60_s"]),  # a reaction that could be a 60 ft time
}


def test_a_range_written_in_a_rule_is_that_of_the_dictionary() -> None:
    written = {
        (column, float(low), float(high))
        for name in [*query_names("doubts"), *query_names("doubts/prepare"), *query_names("doubts/choose")]
        for column, low, high in re.findall(r"(\w+) (?:not )?between (-?[\d.]+) and (-?[\d.]+)", query(name))
        if column in RANGES
    }
    assert written - NARROWER_OR_OF_ANOTHER == {
        (column, low, high) for column, low, high in written if (low, high) == RANGES[column]
    }
    assert {column for column, *_ in written} >= {"t60_s", "v1320_mph", "reaction_s", "track_temp_degf"}


def test_the_ticket_has_the_ranges_of_the_dictionary() -> None:
    con = empty_store()
    run_rules(con)
    found = con.execute('select "column", low, high from slip_columns order by place').fetchall()
    assert len(found) == 7
    for name, low, high in found:
        column = TIMESLIPS.column(name)
        assert (float(low), float(high)) == (column.low, column.high)


def test_the_ranges_of_launch_rpm_and_tire_pressure_are_those_of_the_dictionary() -> None:
    rule = query("doubts/setting_out_of_reach")
    for name in ("launch_rpm", "tire_pressure_psi"):
        low, high = RANGES[name]
        assert f"value not between {low:g} and {high:g}" in rule
        assert f"{low:g} to {high:g} " in rule
