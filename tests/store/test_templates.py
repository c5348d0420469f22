"""One file a step: filled in, every kind's SQL names that kind's columns and runs."""

import re

import duckdb
import pytest

from pipeline.errors import StoreError
from pipeline.garage.columns import KINDS, Kind
from pipeline.garage.dictionary import SHEET_TABLES
from pipeline.garage.factors import ADJUSTMENTS
from pipeline.store.database import query, query_names
from pipeline.store.rendered import main
from pipeline.store.templates import MARKS

FOR_ONE_KIND = (
    "tables/rows", "raw/read", "raw/typed", "raw/typed_at_hand", "raw/mend", "raw/set_aside",
    "raw/set_aside_empty", "raw/settle_words", "raw/count", "raw/forget", "raw/number", "raw/strip_by_day",
    "clean/settled",
)  # fmt: skip
ROWS_OF_TRACK = """\
create or replace table rows_track (
    sheet_no integer,
    file varchar,
    sheet varchar,
    "row" integer,
    "day" date,
    clock_s integer,
    venue varchar,
    lane varchar,
    notes varchar,
    track_temp_degf double,
    odd struct("column" varchar, "text" varchar)[],
    undated varchar[],
    set_aside varchar
);
"""
SETTLED_TRACK = """\
create or replace table track as
select
    typed."reading_id",
    typed."file",
    typed."sheet",
    typed."row",
    settled('venue', typed.venue, marks.questioned, marks.words) as venue,
    case
        when marks."row" is null then typed.read_at
        when list_contains(marks.questioned, 'read_at') then null
        when marks."day" is null and marks.clock_s is null then typed.read_at
        else coalesce(marks."day", typed.read_at::date) + coalesce(
            to_seconds(coalesce(marks.clock_s, typed.clock_s)),
            to_seconds(43200)
        )
    end as read_at,
    settled('lane', typed.lane, marks.questioned, marks.words) as lane,
    settled('track_temp_degf', typed.track_temp_degf, marks.questioned, marks.numbers) as track_temp_degf,
    settled('notes', typed.notes, marks.questioned, marks.words) as notes,
    coalesce(marks.questioned, []::varchar[]) as questioned
from typed_track as typed
left join row_marks as marks
    on typed.file = marks.file and typed.sheet = marks.sheet and typed."row" = marks."row"
where not coalesce(marks.is_out, false);
"""


def plain(text: str) -> str:
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith("--"))


def test_the_smallest_kind_whole() -> None:
    assert plain(query("tables/rows", "track")) == ROWS_OF_TRACK
    assert plain(query("clean/settled", "track")) == SETTLED_TRACK


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("step", FOR_ONE_KIND)
def test_a_step_has_the_columns_of_its_kind_and_no_other(step: str, kind: Kind) -> None:
    text = query(step, kind)
    assert not any(mark in text for mark in MARKS)
    own = {column.name for column in SHEET_TABLES[kind].columns}
    others = {
        column.name
        for other, table in SHEET_TABLES.items()
        if other != kind
        for column in (*table.numbers, *table.texts)
    }
    named = set(re.findall(r"[a-z_0-9]+", plain(text)))
    assert not named & (others - own)
    if step in ("raw/read", "raw/typed", "raw/mend", "tables/rows", "raw/set_aside_empty", "clean/settled"):
        assert {column.name for column in SHEET_TABLES[kind].numbers} <= named


@pytest.mark.parametrize("kind", KINDS)
def test_the_typed_and_the_settled_table_have_the_columns_of_the_dictionary(kind: Kind) -> None:
    with duckdb.connect() as con:
        for name in ("raw/macros", "clean/macros", "tables/current_sheets"):
            con.execute(query(name))
        con.execute(
            "create table row_marks (file varchar, sheet varchar, row integer, questioned varchar[],"
            " is_out boolean, day date, clock_s integer, likely_clock_s integer,"
            " numbers map(varchar, double),"
            " words map(varchar, varchar), lists map(varchar, double[]))"
        )
        for name in ("tables/rows", "raw/typed", "clean/settled"):
            con.execute(query(name, kind))
        described = con.execute(f"describe {kind}").fetchall()
    assert [(name, kind_of) for name, kind_of, *_ in described] == [
        (column.name, column.sql_type) for column in SHEET_TABLES[kind].columns
    ]


def test_a_query_for_one_kind_says_so_when_none_is_named() -> None:
    with pytest.raises(StoreError, match=r"'raw/read' cannot be filled in for 'no table'.*timeslips"):
        query("raw/read")


def test_the_sql_of_a_step_is_shown(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["raw/read", "weather"]) == 0
    assert "insert into rows_weather by name" in capsys.readouterr().out
    assert main(["raw/read"]) == 2
    assert main([]) == 2
    assert main(["raw/nothing"]) == 2
    assert "There is no query 'raw/nothing'" in capsys.readouterr().err


def test_no_mark_is_left_unfilled_in_a_query_over_all_kinds() -> None:
    for folder in ("raw", "clean", "runs", "doubts", "doubts/prepare", "doubts/repair"):
        for name in query_names(folder):
            if name not in FOR_ONE_KIND and name != "raw/name_sheets":
                assert not any(mark in query(name) for mark in MARKS), name


def test_every_adjustment_has_its_column_in_the_setup_of_a_run() -> None:
    text = query("runs/setup_at_run")
    for factor in ADJUSTMENTS:
        assert f"filter (where adjustment = '{factor.column}') as {factor.column}," in text
    placed = [text.index(f"\n    {column}") for column in ("launch_rpm", "preload_turns", "counterweight_g")]
    assert placed == sorted(placed)
