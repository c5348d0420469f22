"""One sheet of text into its rows table: headings become columns, SQL reads the cells."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import duckdb
from duckdb import ColumnExpression, ConstantExpression, Expression, FunctionExpression

from pipeline.garage.columns import Kind, numbered
from pipeline.garage.dictionary import SHEET_TABLES
from pipeline.garage.units import SAME
from pipeline.ingest.headings import SheetPlan
from pipeline.ingest.sheets import TextSheet
from pipeline.store.database import first_row, query

NO_TEXT = ConstantExpression(None).cast("VARCHAR")
NO_TEXTS = ConstantExpression(None).cast("VARCHAR[]")


@dataclass(frozen=True, slots=True)
class Only:
    """The car and the strip of rows that name none; None where there is more than one."""

    car: str | None = None
    venue: str | None = None


def insert_rows(
    con: duckdb.DuckDBPyConnection,
    sheet: TextSheet,
    plan: SheetPlan,
    sheet_no: int,
    only: Only,
    mark: str | None = None,
) -> bool:
    """Read a sheet's cells into ``rows_<kind>``.

    Parameters
    ----------
    con
        A writable store with its rows tables and macros, inside a transaction.
    sheet
        The text.
    plan
        What its headings mean.
    sheet_no
        Place of the sheet in the logbook, from 1.
    only
        The only car and the only strip, for rows that name none.
    mark
        Digest of all that its rows are made of, to take them as read before and to keep them; None for a
        sheet that is read each time.

    Returns
    -------
    bool
        False when lines and records differ, so that the rows cannot be traced to lines: nothing
        is kept then, and the sheet must be read the careful way.
    """
    kind: Kind = plan.kind  # type: ignore[assignment]
    kept = {"mark": mark, "sheet_no": sheet_no}
    if mark is not None and first_row(con.execute(query("raw/rows_as_kept", kind), kept)) != (0,):
        return True
    has = _columns_of(plan, kind)
    cells = sheet.cells.select(*_canonical(sheet, plan, kind))
    con.register("sheet_cells", cells)
    con.execute(query("raw/read", kind, has), _settings(sheet, plan, kind, sheet_no, only, has))
    con.execute(query("raw/forget_sheet_cells"))
    if mark is not None:
        con.execute(query("raw/keep_rows", kind), kept)
    if sheet.is_numbered:
        return True
    found = first_row(con.execute(query("raw/count", kind), {"sheet_no": sheet_no}))
    if found is None or found[0] != sheet.rows:
        con.execute(query("raw/forget", kind), {"sheet_no": sheet_no})
        return False
    con.execute(query("raw/number", kind), {"sheet_no": sheet_no})
    return True


def _columns_of(plan: SheetPlan, kind: Kind) -> frozenset[str]:
    """Name what the sheet has columns for; ``several`` and ``extras`` are columns of many names."""
    names = {column.name for column in plan.columns}
    several = SHEET_TABLES[kind].several
    if several and not names.isdisjoint(numbered(several.name)):
        names.add("several")
    return frozenset(names | ({"extras"} if _extras(plan) else set()))


def _canonical(sheet: TextSheet, plan: SheetPlan, kind: Kind) -> list[Expression]:
    """Name the text columns by what they hold; what the sheet lacks is null."""
    at = {column.name: column.index for column in plan.columns}
    names = ["date", "time", *(column.name for column in SHEET_TABLES[kind].columns if column.heading)]
    chosen = [ColumnExpression("row").alias("line")]
    for name in names:
        text = ColumnExpression(f"c{at[name]}") if name in at else NO_TEXT
        chosen.append(text.alias(name))
    if several := SHEET_TABLES[kind].several:
        places = [at[name] for name in numbered(several.name) if name in at]
        chosen.append(_listed(places).alias("several"))
    if SHEET_TABLES[kind].has("extras"):
        chosen.append(_listed(list(_extras(plan).values())).alias("extra_texts"))
    chosen.append(_spill(sheet, plan).alias("spill"))
    return chosen


def _extras(plan: SheetPlan) -> dict[str, int]:
    return {
        column.name.removeprefix("extra:"): column.index
        for column in plan.columns
        if column.name.startswith("extra:")
    }


def _listed(places: list[int]) -> Expression:
    if not places:
        return NO_TEXTS
    return FunctionExpression("list_value", *(ColumnExpression(f"c{at}") for at in places))


def _spill(sheet: TextSheet, plan: SheetPlan) -> Expression:
    """Join the cells that stand to the right of the last heading."""
    beyond = range(plan.width, sheet.width) if plan.width else range(0)
    if not beyond:
        return NO_TEXT
    cells = (FunctionExpression("tidy", ColumnExpression(f"c{at}")) for at in beyond)
    return FunctionExpression("concat_ws", ConstantExpression(", "), *cells)


def _settings(
    sheet: TextSheet, plan: SheetPlan, kind: Kind, sheet_no: int, only: Only, has: frozenset[str]
) -> dict[str, Any]:
    settings: dict[str, Any] = {"sheet_no": sheet_no, "file": sheet.file, "sheet": sheet.sheet}
    conversions = {column.name: column.to_canonical for column in plan.columns}
    table = SHEET_TABLES[kind]
    for column in table.numbers:
        if column.name not in has and not ("several" in has and column == table.several):
            continue
        names = (column.name, *numbered(column.name))
        own = next((conversions[name] for name in names if name in conversions), SAME)
        settings[f"{column.name}_factor"] = own.factor
        settings[f"{column.name}_offset"] = own.offset
    if table.has("car"):
        settings["only_car"] = only.car
    if table.has("venue"):
        settings["only_venue"] = only.venue
    if table.has("extras") and "extras" in has:
        settings["extra_names"] = list(_extras(plan))
    return settings
