"""Every rule is a small file that says why, how strongly and what it suggests, and is run."""

import re
from pathlib import Path

import duckdb
import pytest

from pipeline.garage.dictionary import SHEET_TABLES
from pipeline.garage.logbook import Logbook
from pipeline.ingest.doubts import steps
from pipeline.ingest.load import ingest_logbook
from pipeline.ingest.slip_repairs import WORDS
from pipeline.store.database import has_rows, query, query_names
from pipeline.store.order import ordered, stated
from pipeline.store.working_tables import WorkingTables

FILES = query_names("doubts")
CASES = ("test_doubts_days.py", "test_doubts_sheets.py", "test_doubts_slips.py", "test_repairs.py")
GIVEN_AND_EXPECTED = "".join(Path(__file__).with_name(name).read_text(encoding="utf-8") for name in CASES)


def test_every_rule_file_is_run_and_every_rule_has_its_place_in_the_ranking() -> None:
    assert sorted(steps().finders) == FILES
    assert sorted(steps().ranking) == sorted([*WORDS, *(name.removeprefix("doubts/") for name in FILES)])


@pytest.mark.parametrize("name", FILES)
def test_a_rule_says_why_how_strongly_and_what_it_suggests(name: str) -> None:
    header = [line for line in query(name).splitlines() if line.startswith("--")]
    told = "\n".join(header)
    for part in ("Reason", "Severity", "Suggests"):
        assert re.search(rf"\b{part}\b[^:]*: \w", told), (name, part)


@pytest.mark.parametrize("name", [*WORDS, *FILES])
def test_every_rule_has_a_given_and_an_expected(name: str) -> None:
    assert f'"{name.removeprefix("doubts/")}"' in GIVEN_AND_EXPECTED


def test_no_rule_writes_a_range_of_its_own() -> None:
    ranges = {
        f"{column.name} {word}between {column.low} and {column.high}"
        for table in SHEET_TABLES.values()
        for column in table.numbers
        for word in ("", "not ")
    }
    for folder in ("doubts", "doubts/prepare", "doubts/repair"):
        for path in sorted(Path("queries").joinpath(folder).glob("*.sql")):
            assert not [each for each in ranges if each in path.read_text(encoding="utf-8")], path


def test_of_two_rules_the_surer_speaks() -> None:
    place = {name: at for at, name in enumerate(steps().ranking)}
    for earlier, later in (
        ("doubles_differ", "missing_decimal"), ("missing_decimal", "copied_slip"),
        ("wrong_year", "am_pm_slip"), ("celsius", "out_of_range"), ("ring_height_down", "out_of_range"),
        ("celsius", "weather_leap"), ("wrong_year", "weather_repeats"),
    ):  # fmt: skip
        assert place[earlier] < place[later]


def test_a_query_finds_nothing_where_what_its_header_needs_is_empty() -> None:
    con = duckdb.connect()
    ingest_logbook(con, Logbook.open(Path("sample_timeslips/logbook")))
    prepare = query_names("doubts/prepare")
    WorkingTables(con, prepare).make(*(name.rpartition("/")[2] for name in prepare))
    needing = [name for name in (*ordered(prepare), *FILES) if stated(name, "Needs")]
    for name in needing:
        assert {table for each in stated(name, "Needs") for table in each.split(" or ")} <= {
            *stated(name, "Reads")
        }, name
        for needed in stated(name, "Needs"):
            con.begin()
            for table in ("findings", *needed.split(" or ")):
                con.execute(f"delete from {table}")
            con.execute(query(name))
            assert not has_rows(con, "findings" if name in FILES else name.rpartition("/")[2]), name
            con.rollback()
    assert len(needing) > 25
