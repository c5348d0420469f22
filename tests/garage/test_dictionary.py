"""The dictionary says each column once, and says it whole."""

import pytest

from pipeline.garage.conversions import CONVERSIONS
from pipeline.garage.dictionary import SHEET_TABLES, TABLES, Column, Table
from pipeline.garage.spelling import folded

COLUMNS = [
    pytest.param(table, column, id=f"{table.name}.{column.name}")
    for table in TABLES
    for column in table.columns
]


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_no_column_twice(table: Table) -> None:
    names = [column.name for column in table.columns]
    assert len(names) == len(set(names))
    assert table.grain


@pytest.mark.parametrize(("table", "column"), COLUMNS)
def test_a_column_has_a_meaning_a_known_unit_and_a_range_in_order(table: Table, column: Column) -> None:
    assert column.meaning
    assert not column.unit or column.unit in CONVERSIONS
    assert column.low is None or column.high is None or column.low < column.high


@pytest.mark.parametrize("kind", SHEET_TABLES)
def test_no_heading_means_two_columns_of_a_sheet(kind: str) -> None:
    meant: dict[str, str] = {}
    for name, table in SHEET_TABLES.items():
        if name != kind:
            continue
        for column in table.columns:
            for heading in (column.heading, *column.aliases):
                if heading:
                    assert meant.setdefault(folded(heading), column.name) == column.name, heading


def test_the_same_name_is_the_same_quantity_everywhere() -> None:
    units: dict[str, str] = {}
    for table in TABLES:
        for column in table.columns:
            assert units.setdefault(column.name, column.unit) == column.unit, column.name


def test_an_unknown_column_is_named() -> None:
    with pytest.raises(KeyError, match="t61_s"):
        SHEET_TABLES["timeslips"].column("t61_s")
