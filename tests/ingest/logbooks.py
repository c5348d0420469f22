"""Small logbooks for the tests: files written, ingested, and looked at."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import duckdb

from pipeline.garage.logbook import Logbook
from pipeline.ingest.load import IngestReport, ingest_logbook

GARAGE = """
[[car]]
name = "Marigold"
also = ["the yellow car"]
clutch = "four"

[[clutch]]
name = "four"
screws = 4
counterweight_hardware = { "steel nut" = "3.6 g", "steel bolt" = "7.9 g" }

[[venue]]
name = "Cinder Flats"
also = ["Cinder"]

[[adjustment]]
name = "shock_clicks"
label = "rear shock"
also = ["shock"]

[headings]
"arm weight" = "counterweight_g"
"""
HEADING = "date,time,60 ft,330 ft,660 ft,notes\n"


def write(root: Path, files: Mapping[str, str | bytes]) -> Path:
    for name, content in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return root


def ingested(root: Path, con: duckdb.DuckDBPyConnection | None = None) -> tuple[Any, IngestReport]:
    con = con or duckdb.connect()
    return con, ingest_logbook(con, Logbook.open(root))


def slips_of(root: Path, csv: str | bytes, name: str = "slips.csv") -> tuple[Any, IngestReport]:
    return ingested(write(root, {"garage.toml": GARAGE, name: csv}))


def column(con: Any, table: str, *names: str) -> list[Any]:
    """Values of columns in row order; bare values when one column is asked for."""
    chosen = ", ".join(f'"{name}"' for name in names)
    rows = con.execute(f'select {chosen} from {table} order by file, sheet, "row"').fetchall()
    return [row[0] for row in rows] if len(names) == 1 else rows
