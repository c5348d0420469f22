"""Frozen result records to polars frames and back, by their type hints alone.

A nested record becomes a struct, a tuple a list, a mapping of numbers a list of
``{adjustment, value}``; so every result is an ordinary table that DuckDB can be asked about.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Callable, Hashable, Iterable
from dataclasses import Field, fields, is_dataclass
from functools import cache, partial
from typing import Any, TypeVar

import polars as pl

Record = TypeVar("Record")

_SCALARS: dict[Any, pl.DataType] = {
    str: pl.String(),
    int: pl.Int64(),
    float: pl.Float64(),
    bool: pl.Boolean(),
}
_MAPPING_ENTRY = pl.Struct({"adjustment": pl.String(), "value": pl.Float64()})


@cache
def _hints(record_type: Hashable) -> dict[str, Any]:
    """Return the type of each column of a record's table."""
    record_class: Any = record_type
    hints = typing.get_type_hints(record_class)
    return {_column(item): _required(hints[item.name]) for item in fields(record_class)}


def _column(item: Field[Any]) -> str:
    """Return the column that holds a field: its name, unless the field says another."""
    return str(item.metadata.get("column", item.name))


def _required(hint: Any) -> Any:
    """Take ``| None`` off a hint: every column may hold a null."""
    if typing.get_origin(hint) in {typing.Union, types.UnionType}:
        inner = [part for part in typing.get_args(hint) if part is not type(None)]
        return inner[0]
    return hint


def _column_type(hint: Any) -> pl.DataType:
    hint = _required(hint)
    if hint in _SCALARS:
        return _SCALARS[hint]
    if is_dataclass(hint):
        return pl.Struct(
            {name: _column_type(inner) for name, inner in _hints(typing.cast(type, hint)).items()}
        )
    origin = typing.get_origin(hint)
    if origin is typing.Literal:
        return pl.String()
    if origin is tuple:
        return pl.List(_column_type(typing.get_args(hint)[0]))
    if origin is dict:
        return pl.List(_MAPPING_ENTRY)
    raise TypeError(f"No column type for the hint {hint!r}; add it to pipeline.store.records.")


@cache
def _columns(record_type: Hashable) -> tuple[tuple[str, str], ...]:
    """Return the name of each field of a record with the column that holds it; none for what is no record."""
    if not is_dataclass(record_type):
        return ()
    return tuple((item.name, _column(item)) for item in fields(record_type))


def _to_plain(value: Any) -> Any:
    if value is None or isinstance(value, str | float | int):
        return value
    if columns := _columns(typing.cast(Any, type(value))):
        return {column: _to_plain(getattr(value, name)) for name, column in columns}
    if isinstance(value, tuple | list):
        return [_to_plain(item) for item in value]
    if isinstance(value, dict):
        return [{"adjustment": key, "value": float(number)} for key, number in value.items()]
    return value


@cache
def _reader(hint: Hashable) -> Callable[[Any], Any] | None:
    """Return what makes a field's value of what its column holds; None where that is the value itself."""
    required = _required(hint)
    if is_dataclass(required):
        return partial(_record, typing.cast(type, required))
    origin = typing.get_origin(required)
    if origin is tuple:
        inner = _reader(typing.get_args(required)[0])
        if inner is None:
            return tuple
        return lambda items: tuple(None if item is None else inner(item) for item in items)
    if origin is dict:
        return lambda entries: {entry["adjustment"]: entry["value"] for entry in entries}
    return None


@cache
def _readers(record_type: Hashable) -> tuple[tuple[str, str, Callable[[Any], Any] | None], ...]:
    """Return of each field of a record its name, its column and what reads that; see :func:`_reader`."""
    hints = _hints(record_type)
    return tuple((name, column, _reader(hints[column])) for name, column in _columns(record_type))


def _record(record_type: type[Record], plain: dict[str, Any]) -> Record:
    return record_type(
        **{
            name: plain[column] if read is None or plain[column] is None else read(plain[column])
            for name, column, read in _readers(typing.cast(Any, record_type))
        }
    )


def frame_of(record_type: type[Record], records: Iterable[Record]) -> pl.DataFrame:
    """Turn records of one type into a frame whose schema does not depend on the values.

    Parameters
    ----------
    record_type
        A frozen dataclass of ``pipeline.season.results``.
    records
        Any number of them, none included.

    Returns
    -------
    polars.DataFrame
        One row a record, one column a field.
    """
    schema = {name: _column_type(hint) for name, hint in _hints(typing.cast(Any, record_type)).items()}
    return pl.DataFrame([_to_plain(record) for record in records], schema=schema)


def records_of(record_type: type[Record], frame: pl.DataFrame) -> tuple[Record, ...]:
    """Turn a frame made by :func:`frame_of` back into equal records.

    Parameters
    ----------
    record_type
        The type given to :func:`frame_of`.
    frame
        Its result, perhaps after a round trip through DuckDB.

    Returns
    -------
    tuple
        One record a row, in row order.
    """
    return tuple(_record(record_type, row) for row in frame.iter_rows(named=True))
