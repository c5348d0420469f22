"""Frames given to SQL: every filter counts, from the first on, with DuckDB's dear helpers hidden."""

import subprocess
import sys

import pytest

FIRST_FILTER = """
import sys
from pipeline.libraries_aside import libraries_aside
with libraries_aside():
    import duckdb
    import polars as pl
    from pipeline.store.database import lend
    con = duckdb.connect()
    lend(con, "given", pl.DataFrame({"n": [1, 2, 3], "text": ["", "y", None]}))
    print(con.execute(sys.argv[1]).fetchall())
    print({"pandas", "pyarrow.dataset"} & {name for name, module in sys.modules.items() if module})
"""


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("select n from given where text <> ''", [(2,)]),
        ("select n from given where n >= 2 and text is null", [(3,)]),
    ],
)
def test_the_first_filter_of_a_process_counts_and_loads_nothing(asked: str, found: object) -> None:
    done = subprocess.run(
        [sys.executable, "-c", FIRST_FILTER, asked], capture_output=True, text=True, check=True
    )
    assert done.stdout == f"{found}\nset()\n"
