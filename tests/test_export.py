"""Exports keep every value; what a spreadsheet would run stays text."""

from collections.abc import Iterator
from pathlib import Path

import duckdb
import fastexcel
import polars as pl
import pytest

from pipeline.errors import RequestError
from pipeline.export import export_tables, flat_frame

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


def test_an_unknown_kind_is_refused_with_the_choices(con: duckdb.DuckDBPyConnection, tmp_path: Path) -> None:
    with pytest.raises(RequestError, match="csv, parquet, workbook"):
        export_tables(con, ["runs"], tmp_path, "pdf")
