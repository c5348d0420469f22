"""Every version of every sheet, byte for byte, kept in the store and never changed."""

from __future__ import annotations

import datetime as dt
import hashlib
from pathlib import Path

import duckdb
import pyarrow as pa

from pipeline.errors import SheetError
from pipeline.store.database import first_row, query

PART_BYTES = 8_000_000
PACKING = pa.Codec("zstd", compression_level=1)  # a fifth of the size, 0.5 GB/s


def archive_file(con: duckdb.DuckDBPyConnection, path: Path, name: str) -> int:
    """Keep a file's bytes, unless this very version of it is kept already.

    Parameters
    ----------
    con
        A writable store, inside a transaction.
    path
        The file.
    name
        Its path below the logbook, with forward slashes.

    Returns
    -------
    int
        The version's number.

    Raises
    ------
    SheetError
        When the file cannot be read.
    """
    try:
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
            known = first_row(con.execute(query("raw/version_of"), {"file": name, "hash": digest}))
            if known is not None:
                return int(known[0])
            file.seek(0)
            return _keep(con, file, name, digest)
    except OSError as gone:
        raise SheetError(
            f"{name} cannot be read ({gone.strerror or gone}).", "Check that the file is there and is yours."
        ) from gone


def _keep(con: duckdb.DuckDBPyConnection, file: object, name: str, digest: str) -> int:
    found = first_row(con.execute(query("raw/next_version")))
    version = int(found[0]) if found else 1
    size, part = 0, 0
    while block := file.read(PART_BYTES):  # type: ignore[attr-defined]
        packed = PACKING.compress(block, asbytes=True)
        con.execute(
            query("raw/keep_part"),
            {"version_id": version, "part": part, "size_bytes": len(block), "packed": packed},
        )
        size, part = size + len(block), part + 1
    con.execute(
        query("raw/keep_version"),
        {
            "version_id": version,
            "file": name,
            "hash": digest,
            "size_bytes": size,
            "first_seen_at": dt.datetime.now(dt.UTC).replace(tzinfo=None),
        },
    )
    return version


def unarchive(con: duckdb.DuckDBPyConnection, version_id: int) -> bytes:
    """Return a version's bytes back, exactly as they were.

    Parameters
    ----------
    con
        An open store.
    version_id
        As given by :func:`archive_file`.
    """
    parts = con.execute(query("raw/parts_of"), {"version_id": version_id}).fetchall()
    return b"".join(PACKING.decompress(packed, size, asbytes=True) for packed, size in parts)
