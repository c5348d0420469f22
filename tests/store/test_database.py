"""Opening the store: waits for a writer, refuses what it cannot read, never half-writes."""

import multiprocessing
import shutil
from pathlib import Path

import duckdb
import pytest

from pipeline.errors import StoreError
from pipeline.store import database
from pipeline.store.database import (
    STORE_VERSION,
    open_store,
    publish,
    published,
    query,
    read_store,
    transaction,
)


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
        assert con.execute("select count(*) from duckdb_tables() where table_name = 'half'").fetchall()[
            0
        ] == (0,)


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
            assert reader.execute("select count(*) from t").fetchall()[0] == (1,)


def test_reading_without_a_store_says_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="slipledger ingest"), read_store(tmp_path / "none.duckdb"):
        pass


def test_an_unknown_query_is_named() -> None:
    with pytest.raises(StoreError, match="no/such"):
        query("no/such")


@pytest.fixture
def older(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A store of this version, met by a slipledger of the next one."""
    path = tmp_path / "store.duckdb"
    with open_store(path) as con:
        con.execute("create table kept as select 1 as a")
    monkeypatch.setattr(database, "STORE_VERSION", STORE_VERSION + 1)
    return path


def migrate_by(monkeypatch: pytest.MonkeyPatch, sql: str) -> None:
    step = f"tables/migrate_{STORE_VERSION + 1}"
    monkeypatch.setattr(database, "query", lambda name: sql if name == step else query(name))


def kept_in(path: Path) -> object:
    with duckdb.connect(str(path), read_only=True) as con:
        return con.execute("select (select list(a) from kept), (select value from store_facts)").fetchall()[0]


def test_an_older_store_is_copied_and_brought_up_to_date(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    migrate_by(monkeypatch, "update kept set a = 2")
    before = older.read_bytes()
    for _ in range(2):  # the second opening finds it done
        with open_store(older):
            pass
    backup = older.with_name(f"store.version-{STORE_VERSION}.duckdb")
    assert kept_in(older) == ([2], str(STORE_VERSION + 1))
    assert backup.read_bytes() == before
    assert {path.name for path in older.parent.iterdir()} == {older.name, backup.name}


def test_what_a_killed_writer_left_beside_an_older_store_is_in_its_copy(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    grown = older.with_name("grown.duckdb")
    con = duckdb.connect(str(older))
    con.execute("set wal_autocheckpoint = '1GB'")
    con.execute("insert into kept values (7)")
    shutil.copyfile(older, grown)
    shutil.copyfile(f"{older}.wal", f"{grown}.wal")
    con.close()
    migrate_by(monkeypatch, "update kept set a = a + 1")
    with open_store(grown):
        pass
    assert kept_in(grown.with_name(f"grown.version-{STORE_VERSION}.duckdb")) == ([1, 7], str(STORE_VERSION))
    assert kept_in(grown) == ([2, 8], str(STORE_VERSION + 1))


def test_a_failed_migration_is_a_sentence_and_leaves_the_store_as_it_was(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    migrate_by(monkeypatch, "update kept set a = 2; select * from nowhere")
    with (
        pytest.raises(StoreError, match=rf"version-{STORE_VERSION}\.duckdb is a copy.*rebuild") as refused,
        open_store(older),
    ):
        pass
    assert "\n" not in str(refused.value)
    assert kept_in(older) == ([1], str(STORE_VERSION))


def test_an_older_store_that_can_not_be_copied_is_left_alone(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_source: object, target: Path) -> None:
        target.write_bytes(b"half")
        raise OSError(28, "No space left on device")

    migrate_by(monkeypatch, "update kept set a = 2")
    monkeypatch.setattr(shutil, "copyfile", full)
    with pytest.raises(StoreError, match=r"No space left on device.*free some space"), open_store(older):
        pass
    assert kept_in(older) == ([1], str(STORE_VERSION))
    assert list(older.parent.iterdir()) == [older]


def test_a_database_of_something_else_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "other.duckdb"
    with duckdb.connect(str(path)) as con:
        con.execute("create table recipes as select 1 as a")
    before = path.read_bytes()
    with pytest.raises(StoreError, match=r"not a slipledger store \(it holds recipes\)"), open_store(path):
        pass
    assert path.read_bytes() == before


@pytest.mark.parametrize("place", ["folder", "missing.duckdb/store.duckdb"])
def test_a_store_where_no_file_can_be_is_a_sentence(tmp_path: Path, place: str) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "missing.duckdb").write_bytes(b"a file")
    with pytest.raises(StoreError, match="--store") as refused, open_store(tmp_path / place):
        pass
    assert "\n" not in str(refused.value)


def sentence_of(path: Path) -> str:
    """Read and write a store; what is said when that cannot be done."""
    try:
        with open_store(path) as con, transaction(con):
            con.execute("select count(*), max(a) from t").fetchall()[0]
            con.execute("create table more as select 1 as a")
    except StoreError as refused:
        return str(refused)
    return ""


def test_a_store_broken_anywhere_works_or_names_the_way_back(tmp_path: Path) -> None:
    whole = tmp_path / "whole.duckdb"
    with open_store(whole) as con:
        con.execute("create table t as select i, md5(i::varchar) as a from range(50_000) t(i)")
    content = whole.read_bytes()
    said = []
    for number, at in enumerate(range(0, len(content), len(content) // 60)):
        path = tmp_path / f"broken-{at}.duckdb"
        path.write_bytes(content[:at] if number % 2 else content[:at] + b"\xff" * 64 + content[at + 64 :])
        said.append(sentence_of(path))
    assert sum("your sheets rebuild it whole" in sentence for sentence in said) > 40
    assert all("your sheets rebuild it whole" in sentence for sentence in said if sentence), said
    assert not any("\n" in sentence for sentence in said)


def test_a_broken_copy_for_readers_is_the_one_named(tmp_path: Path) -> None:
    path = tmp_path / "store.duckdb"
    with open_store(path) as con:
        publish(con, path)
    copy = published(path)
    copy.write_bytes(copy.read_bytes()[:9000])
    with pytest.raises(StoreError, match=r"store\.read\.duckdb is damaged"), read_store(path):
        pass


def test_a_reader_before_the_first_copy_is_told_who_has_the_store(tmp_path: Path) -> None:
    path = tmp_path / "store.duckdb"
    context = multiprocessing.get_context("spawn")
    ready, done = context.Event(), context.Event()
    other = context.Process(target=hold, args=(str(path), ready, done))
    other.start()
    try:
        assert ready.wait(30)
        with pytest.raises(StoreError, match="Another slipledger"), read_store(path):
            pass
    finally:
        done.set()
        other.join(20)


def test_clean_entries_kept_as_views_give_way_to_tables(tmp_path: Path) -> None:
    path = tmp_path / "store.duckdb"
    with open_store(path) as con:
        con.execute("create view timeslips as select 1 as a; create view checks as select 1 as a")
        con.execute("update store_facts set value = '1' where fact = 'store_version'")
    with open_store(path) as con:
        con.execute("create or replace table timeslips (a integer)")
        assert con.execute("select view_name from duckdb_views() where not internal").fetchall() == []
