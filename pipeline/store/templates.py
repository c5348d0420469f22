"""Queries that are alike for several tables or adjustments, filled in from dictionary and registry."""

from __future__ import annotations

import hashlib
from functools import cache

from jinja2 import DictLoader, Environment, StrictUndefined

from pipeline.files.kept_templates import KeptTemplates
from pipeline.garage.dictionary import RUNS, SHEET_TABLES
from pipeline.garage.factors import BY_COLUMN, FACTORS

MARKS = ("{{", "{%")
_TEXTS: dict[str, str] = {}
"""Queries with marks by their digest, which is their name for the templates kept."""


def rendered(text: str, of: str, has: frozenset[str] | None = None) -> str:
    """Return a query with its marks filled in; one without marks as it is.

    Parameters
    ----------
    text
        The query. In its marks ``of`` is what it is asked for, ``table`` the table of that name if it is a
        kind of sheet, ``weather`` and the like are tables too, ``sheets`` all of them,
        ``columns.weather.grains`` is one of their columns,
        ``adjustments`` the records of the built-in adjustments in the order of ``runs``, ``counted`` those of
        parts whose runs are counted; ``listed`` writes their columns, ``quoted`` the names of those;
        ``has`` holds the columns of one sheet.
    of
        A kind of sheet or the name of another table; empty where the query is for none alone.
    has
        Columns of one sheet, ``several`` and ``extras`` among them; None = all that its kind may have.

    Returns
    -------
    str
        Plain SQL.
    """
    if not any(mark in text for mark in MARKS):
        return text
    table = next((table for table in SHEET_TABLES.values() if table.name == of), None)
    name = hashlib.sha256(text.encode()).hexdigest()
    _TEXTS[name] = text
    if has is None and table is not None:
        has = frozenset(column.name for column in table.columns) | {"several", "extras"}
    return _environment().get_template(name).render(of=of, table=table, has=has)


@cache
def _environment() -> Environment:
    # Plain text, filled in from our own dictionary: nothing that a person types comes in here.
    made = Environment(
        loader=DictLoader(_TEXTS),
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        undefined=StrictUndefined,
        bytecode_cache=KeptTemplates(),
    )
    made.globals.update({table.name: table for table in SHEET_TABLES.values()})
    made.globals["sheets"] = tuple(SHEET_TABLES.values())
    made.globals["columns"] = {
        kind: {column.name: column for column in table.columns} for kind, table in SHEET_TABLES.items()
    }
    made.globals["adjustments"] = tuple(
        BY_COLUMN[column.name]
        for column in RUNS.columns
        if column.name in BY_COLUMN and BY_COLUMN[column.name].is_setting
    )
    made.globals["counted"] = tuple(factor for factor in FACTORS if factor.put_on_new)
    made.filters["listed"] = lambda factors: ", ".join(factor.column for factor in factors)
    made.filters["quoted"] = lambda factors: ", ".join(f"'{factor.column}'" for factor in factors)
    return made
