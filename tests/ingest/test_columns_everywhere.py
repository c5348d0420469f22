"""A number people type has to stand in every query that handles the numbers of its kind."""

import re
from statistics import median

import pytest

from pipeline.garage.dictionary import KINDS, SHEET_TABLES, Kind
from pipeline.store.database import query

QUERIES = (
    "tables/rows_{}", "raw/read_{}", "raw/typed_{}", "raw/mend_{}", "raw/set_aside_empty_{}",
    "raw/undated_rows", "clean/{}",
)  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", QUERIES)
def test_every_number_stands_where_the_others_stand(kind: Kind, name: str) -> None:
    numbers = [c.name for c in SHEET_TABLES[kind].columns if c.heading and c.sql_type == "DOUBLE"]
    text = query(name.format(kind))
    times = {number: len(re.findall(rf"(?<![a-z0-9]){number}(?=\b|_)", text)) for number in numbers}
    few = {number for number, found in times.items() if found < median(times.values())}
    assert not few, f"{name.format(kind)} has these less often than the other numbers"
