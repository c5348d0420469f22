"""Exports keep every value; what a spreadsheet would run stays text."""

import resource
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb
import fastexcel
import polars as pl
import pytest

from pipeline.errors import RequestError, StoreError
from pipeline.store import export
from pipeline.store.export import KINDS, export_tables, flat_frame

NASTY = ['=HYPERLINK("x")', "+1+1", "@cmd", "-2", "plain, with comma", "<script>alert(1)</script>", None]


@pytest.fixture
def con() -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect() as connection:
        frame = pl.DataFrame({"notes": NASTY, "t60_s": [1.4, None, 1.5, 1.6, 1.7, 1.8, 1.9]})
        connection.register("frame", frame)
        connection.execute(
            "create table runs as select *, [1, 2] as screws, timestamp '2031-05-02 19:30' as at from frame"
        )
        yield connection


def test_csv_cells_do_not_start_a_formula(con: duckdb.DuckDBPyConnection, tmp_path: Path) -> None:
    (path,) = export_tables(con, ["runs"], tmp_path, "csv")
    notes = pl.read_csv(path)["notes"].to_list()
    assert notes[:3] == ['\'=HYPERLINK("x")', "'+1+1", "'@cmd"]
    assert notes[3:6] == ["-2", "plain, with comma", "<script>alert(1)</script>"]


def test_parquet_keeps_values_exactly(con: duckdb.DuckDBPyConnection, tmp_path: Path) -> None:
    (path,) = export_tables(con, ["runs"], tmp_path, "parquet")
    assert pl.read_parquet(path)["notes"].to_list() == NASTY


def test_the_workbook_holds_strings_not_formulas(con: duckdb.DuckDBPyConnection, tmp_path: Path) -> None:
    (path,) = export_tables(con, ["runs"], tmp_path, "workbook")
    sheet = fastexcel.read_excel(path).load_sheet("runs").to_polars()
    assert sheet["notes"].to_list()[:3] == NASTY[:3]
    assert sheet["t60_s"].to_list()[0] == 1.4


def test_nested_columns_become_json(con: duckdb.DuckDBPyConnection) -> None:
    flat = flat_frame(con.table("runs").pl(), escape_formulas=False)
    assert flat["screws"].to_list()[0] == "[1, 2]"


def test_rows_stand_in_the_order_of_the_sheets(con: duckdb.DuckDBPyConnection, tmp_path: Path) -> None:
    con.execute("create table track as select unnest([3, 1, 2]) as reading_id")
    (path,) = export_tables(con, ["track"], tmp_path, "csv")
    assert pl.read_csv(path)["reading_id"].to_list() == [1, 2, 3]


def test_an_unknown_kind_is_refused_with_the_choices(con: duckdb.DuckDBPyConnection, tmp_path: Path) -> None:
    with pytest.raises(RequestError, match="csv, parquet, workbook"):
        export_tables(con, ["runs"], tmp_path, "pdf")


@contextmanager
def room_for(size: int) -> Iterator[None]:
    """Limit every file's size for a while: what a full disk does to a write."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


@pytest.mark.parametrize("kind", KINDS)
def test_a_full_disk_leaves_the_last_export_whole(tmp_path: Path, kind: str) -> None:
    with duckdb.connect() as con:
        con.execute("create table runs as select i, md5(i::varchar) as notes from range(4) t(i)")
        (path,) = export_tables(con, ["runs"], tmp_path, kind)
        before = path.read_bytes()
        con.execute("insert into runs select i, md5(i::varchar) from range(40_000) t(i)")
        with room_for(50_000), pytest.raises(StoreError, match=r"cannot be written.*--out") as refused:
            export_tables(con, ["runs"], tmp_path, kind)
    assert "\n" not in str(refused.value)
    assert path.name in str(refused.value)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_table_too_long_for_a_workbook_is_refused_before_one_is_begun(
    con: duckdb.DuckDBPyConnection, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(export, "SHEET_ROWS", 6)
    with pytest.raises(StoreError, match=r"runs has 7 rows.*parquet"):
        export_tables(con, ["runs"], tmp_path / "out", "workbook")
    assert not (tmp_path / "out").exists()


def test_a_cell_too_long_for_a_workbook_is_refused_not_cut(
    con: duckdb.DuckDBPyConnection, tmp_path: Path
) -> None:
    con.execute("update runs set notes = repeat('x', 40_000) where t60_s = 1.5")
    with pytest.raises(StoreError, match="Row 3 of the table runs holds 40000 letters"):
        export_tables(con, ["runs"], tmp_path, "workbook")
    assert list(tmp_path.iterdir()) == []


def test_a_workbook_takes_any_number_and_any_day(tmp_path: Path) -> None:
    with duckdb.connect() as con:
        con.execute(
            "create table runs as select 'nan'::double as a, 'inf'::double as b, 1e308 as c, true as d, "
            "date '1803-05-02' as e, time '19:30' as f, chr(1) || chr(65535) as g, 2::hugeint as h"
        )
        (path,) = export_tables(con, ["runs"], tmp_path, "workbook")
    sheet = fastexcel.read_excel(path).load_sheet("runs").to_polars()
    assert sheet.height == 1
    assert sheet["c"].to_list() == [1e308]
