"""garage.toml as tables: cars, clutches, venues, adjustments."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, get_args, get_origin

import duckdb
import polars as pl
from pydantic import BaseModel

from pipeline.garage.logbook import Garage
from pipeline.garage.parts import Adjustment, Car, Clutch, Venue
from pipeline.store.database import lend, query

TEXT_FIELDS = {"name", "type", "clutch", "growth_effect", "label", "unit"}
LIST_FIELDS = {
    "also": pl.List(pl.String()),
    "engine_torque": pl.List(pl.List(pl.Float64())),
    "change_minutes": pl.List(pl.Struct({"adjustment": pl.String(), "minutes": pl.Float64()})),
    "counterweight_hardware_g": pl.List(pl.Struct({"piece": pl.String(), "mass_g": pl.Float64()})),
}


def write_garage(con: duckdb.DuckDBPyConnection, garage: Garage) -> None:
    """Replace the garage's tables.

    Parameters
    ----------
    con
        A writable store, inside a transaction.
    garage
        As read from ``garage.toml``.
    """
    parts: tuple[tuple[str, type[BaseModel], Iterable[BaseModel]], ...] = (
        ("cars", Car, garage.cars),
        ("clutches", Clutch, garage.clutches),
        ("venues", Venue, garage.venues),
        ("adjustments", Adjustment, garage.adjustments),
    )
    for table, model, items in parts:
        lend(con, f"garage_{table}", _frame(table, model, items))
        con.execute(query(f"tables/{table}"))
        con.unregister(f"garage_{table}")


def _frame(table: str, model: type[BaseModel], items: Iterable[BaseModel]) -> pl.DataFrame:
    own_name = {"cars": "car", "clutches": "clutch", "venues": "venue", "adjustments": "adjustment"}[table]
    schema = {
        own_name if name == "name" else name: _type(name, field.annotation)
        for name, field in model.model_fields.items()
    }
    if table == "clutches":
        schema |= {"load_per_turn_lb": pl.Float64(), "spring_rate_lb_per_in": pl.Float64()}
    if table == "adjustments":
        schema = {**schema, "low_limit": pl.Float64(), "high_limit": pl.Float64(), "is_quick": pl.Boolean()}
        del schema["limits"], schema["quick"]
    return pl.DataFrame([_row(own_name, item) for item in items], schema=schema)


def _type(name: str, annotation: Any) -> pl.DataType:
    if name in TEXT_FIELDS:
        return pl.String()
    if name in LIST_FIELDS:
        return LIST_FIELDS[name]
    if name == "quick":
        return pl.Boolean()
    return pl.List(pl.Float64()) if _is_list(annotation) else pl.Float64()


def _is_list(annotation: Any) -> bool:
    """Tell whether a field holds several numbers, such as limits, under whatever checks."""
    if get_origin(annotation) is tuple:
        return True
    return any(_is_list(inside) for inside in get_args(annotation))


def _row(own_name: str, item: BaseModel) -> dict[str, Any]:
    row = {name: getattr(item, name) for name in type(item).model_fields}
    row[own_name] = row.pop("name")
    if isinstance(item, Car):
        row["change_minutes"] = [
            {"adjustment": name, "minutes": minutes} for name, minutes in item.change_minutes.items()
        ]
    if isinstance(item, Clutch):
        row["load_per_turn_lb"] = item.load_per_turn_lb
        row["spring_rate_lb_per_in"] = item.spring_rate_lb_per_in
        row["counterweight_hardware_g"] = [
            {"piece": piece, "mass_g": grams} for piece, grams in item.counterweight_hardware_g.items()
        ]
    if isinstance(item, Adjustment):
        limits = row.pop("limits") or (None, None)
        row |= {"low_limit": limits[0], "high_limit": limits[1], "is_quick": row.pop("quick")}
    return row
