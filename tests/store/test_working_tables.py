"""Working tables: made when asked for, once, and only where what they need holds rows."""

import duckdb
import pytest

from pipeline.store import order, working_tables
from pipeline.store.working_tables import WorkingTables

FILES = {
    "x/lows": "-- Reads: given\n-- Needs: given\ncreate table lows as select a from given where a < 5;\n",
    "x/pair": "-- Reads: lows, other\n-- Needs: lows or other\ncreate table pair as from lows;\n",
    "x/other": "create table other (a integer);\n",
}


@pytest.mark.parametrize(
    ("given", "made"),
    [([], {"given", "other"}), ([7], {"given", "lows", "other"}), ([1], {"given", "lows", "other", "pair"})],
)
def test_only_what_can_hold_something_is_made(
    given: list[int], made: set[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in (order, working_tables):
        monkeypatch.setattr(module, "query", FILES.__getitem__)
    con = duckdb.connect()
    con.execute("create table given (a integer)")
    for number in given:
        con.execute("insert into given values (?)", [number])
    tables = WorkingTables(con, FILES)
    for _ in range(2):  # a table made twice would be refused
        assert tables.has_rows("pair") is (1 in given)
    assert {name for (name,) in con.execute("select table_name from duckdb_tables()").fetchall()} == made
