"""Queries that are alike for several tables: one file a step, filled in from the dictionary."""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, StrictUndefined, Template

from pipeline.garage.dictionary import SHEET_TABLES

MARKS = ("{{", "{%")


def rendered(text: str, of: str) -> str:
    """Return a query with its marks filled in; one without marks as it is.

    Parameters
    ----------
    text
        The query. In its marks ``of`` is what it is asked for, ``table`` the table of that name if it is a
        kind of sheet, ``sheets`` the tables of all kinds, ``columns.weather.grains`` one of their columns.
    of
        A kind of sheet or the name of another table; empty where the query is for none alone.

    Returns
    -------
    str
        Plain SQL.
    """
    if not any(mark in text for mark in MARKS):
        return text
    table = next((table for table in SHEET_TABLES.values() if table.name == of), None)
    return _template(text).render(of=of, table=table)


@cache
def _template(text: str) -> Template:
    return _environment().from_string(text)


@cache
def _environment() -> Environment:
    # Plain text, filled in from our own dictionary: nothing that a person types comes in here.
    made = Environment(
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True, undefined=StrictUndefined
    )
    made.globals["sheets"] = tuple(SHEET_TABLES.values())
    made.globals["columns"] = {
        kind: {column.name: column for column in table.columns} for kind, table in SHEET_TABLES.items()
    }
    return made
