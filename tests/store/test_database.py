"""Opening the store: waits for a writer, refuses what it can not read, never half-writes."""

import multiprocessing
from pathlib import Path

import duckdb
import pytest

from pipeline.errors import StoreError
from pipeline.store.database import open_store, publish, query, read_store, transaction


def test_a_new_store_opens_and_keeps_what_is_committed(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "store.duckdb"
    with open_store(path) as con, transaction(con):
        con.execute("create table kept as select 1 as a")
    with open_store(path) as con:
        assert con.execute("select a from kept").fetchall() == [(1,)]


def test_a_failed_transaction_leaves_nothing(tmp_path: Path) -> None:
    with open_store(tmp_path / "store.duckdb") as con:
        with pytest.raises(duckdb.CatalogException), transaction(con):
            con.execute("create table half as select 1 as a; select * from nowhere")
        assert con.execute("select count(*) from duckdb_tables() where table_name = 'half'").fetchone() == (
            0,
        )


def hold(path: str, ready: object, done: object) -> None:
    with open_store(Path(path)):
        ready.set()
        done.wait(20)


def test_a_second_writer_waits_and_then_says_so(tmp_path: Path) -> None:
    path = tmp_path / "store.duckdb"
    context = multiprocessing.get_context("spawn")
    ready, done = context.Event(), context.Event()
    other = context.Process(target=hold, args=(str(path), ready, done))
    other.start()
    told: list[str] = []
    try:
        assert ready.wait(30)
        with (
            pytest.raises(StoreError, match="Another slipledger"),
            open_store(path, wait_s=0.5, waiting=told.append),
        ):
            pass
    finally:
        done.set()
        other.join(20)
    assert len(told) == 1
    with open_store(path):
        pass


@pytest.mark.parametrize("content", [b"not a database at all" * 400, b"\x00" * 20000])
def test_a_damaged_store_names_the_way_back(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "store.duckdb"
    path.write_bytes(content)
    with pytest.raises(StoreError, match="rebuild it"), open_store(path):
        pass
    assert path.read_bytes() == content


def test_a_store_from_the_future_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "store.duckdb"
    with open_store(path) as con:
        con.execute("update store_facts set value = '999' where fact = 'store_version'")
    with pytest.raises(StoreError, match="newer slipledger"), open_store(path):
        pass


def test_readers_see_the_published_copy_while_a_writer_works(tmp_path: Path) -> None:
    path = tmp_path / "store.duckdb"
    with open_store(path) as con:
        con.execute("create table t as select 1 as a")
        publish(con, path)
    with open_store(path) as con:
        con.execute("insert into t values (2)")
        with read_store(path) as reader:
            assert reader.execute("select count(*) from t").fetchone() == (1,)


def test_reading_without_a_store_says_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="slipledger ingest"), read_store(tmp_path / "none.duckdb"):
        pass


def test_an_unknown_query_is_named() -> None:
    with pytest.raises(StoreError, match="no/such"):
        query("no/such")
