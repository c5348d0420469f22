"""The questions to ask have one answer, however the store's rows happen to lie."""

from collections.abc import Iterator

import duckdb
import pytest

from pipeline.store.database import query, query_names
from tests.readme_blocks import demo_store

NAMES = tuple(query_names("ask"))
Answers = dict[str, list[tuple[object, ...]]]


def answers(con: duckdb.DuckDBPyConnection) -> Answers:
    return {name: con.execute(query(name)).fetchall() for name in NAMES}


@pytest.fixture(scope="module")
def shuffled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[tuple[Answers, Answers]]]:
    with duckdb.connect(str(demo_store(tmp_path_factory.mktemp("asked")))) as con:
        as_made = answers(con)
        tables = con.execute(
            "select table_name from duckdb_tables() where not temporary and schema_name = 'main'"
        ).fetchall()
        seen = []
        for seed, threads in ((0.1, 1), (0.4, 2), (0.7, 8)):
            con.execute("begin")
            con.execute(f"set threads = {threads}")
            con.execute("select setseed(?)", [seed])
            for (table,) in tables:
                con.execute(f'create temp table mixed as select * from "{table}" order by random()')
                con.execute(f'truncate "{table}"; insert into "{table}" from mixed; drop table mixed')
            seen.append((as_made, answers(con)))
            con.execute("rollback")
        yield seen


@pytest.mark.parametrize("name", NAMES)
def test_rows_in_another_order_give_the_same_answer(
    shuffled: list[tuple[Answers, Answers]], name: str
) -> None:
    for as_made, again in shuffled:
        assert again[name] == as_made[name]
