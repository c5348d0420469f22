"""Editing sheets and ingesting again gives exactly what a fresh store gives; every version is kept."""

import random
from pathlib import Path
from typing import Any

import duckdb
import pytest

from pipeline.garage.columns import KINDS
from pipeline.ingest.archive import unarchive
from tests.ingest.logbooks import GARAGE, HEADING, ingested, write

SEED = 20310514
# These remember the past on purpose; everything else must not.
HISTORY = {
    "raw_versions",
    "raw_parts",
    "current_sheets",
    "kept_sheets",
    *(f"kept_rows_{kind}" for kind in KINDS),
}


def contents(con: Any) -> dict[str, list[Any]]:
    tables = [
        row[0]
        for row in con.execute(
            "select table_name from information_schema.tables where table_type in ('BASE TABLE', 'VIEW')"
        ).fetchall()
    ]
    return {
        name: sorted(con.execute(f'select * from "{name}"').fetchall(), key=repr)
        for name in tables
        if name not in HISTORY
    }


def season(luck: random.Random) -> list[str]:
    rows = []
    for day in range(10, 26):
        for hour in (10, 13):
            t60 = 1.45 + luck.random() * 0.08
            odd = luck.random()
            typed = f"{t60:.3f}" if odd > 0.1 else luck.choice([f"{t60 * 1000:.0f}", "abc", f'"{t60:.2f} s"'])
            rows.append(f"5/{day}/2031,{hour}:00,{typed},{t60 * 2.73:.3f},{t60 * 4.19:.3f},n{day}\n")
    return rows


def edited(rows: list[str], luck: random.Random) -> list[str]:
    rows = list(rows)
    for _ in range(luck.randint(1, 6)):
        at = luck.randrange(len(rows))
        change = luck.choice(["edit", "insert", "delete", "double", "sort", "shuffle"])
        if change == "edit":
            rows[at] = rows[at].replace("10:00", "11:00").replace("n1", "note 1")
        elif change == "insert":
            rows.insert(at, f"5/{luck.randint(1, 30)}/2031,3:15 pm,1.5{luck.randint(0, 99):02},4.1,6.3,new\n")
        elif change == "delete" and len(rows) > 5:
            del rows[at]
        elif change == "double":
            rows.insert(luck.randrange(len(rows)), rows[at])
        elif change == "sort":
            rows.sort()
        else:
            luck.shuffle(rows)
    return rows


def compare(tmp_path: Path, rounds: int) -> None:
    luck = random.Random(SEED)
    rows = season(luck)
    kept = duckdb.connect()
    for number in range(rounds):
        write(tmp_path, {"garage.toml": GARAGE, "slips.csv": HEADING + "".join(rows)})
        ingested(tmp_path, kept)
        fresh, _ = ingested(tmp_path)
        assert contents(kept) == contents(fresh), f"round {number}"
        rows = edited(rows, luck)


def test_ingesting_an_edited_sheet_equals_a_fresh_store(tmp_path: Path) -> None:
    compare(tmp_path, rounds=6)


@pytest.mark.long
def test_ingesting_many_edits_equals_a_fresh_store(tmp_path: Path) -> None:
    compare(tmp_path, rounds=200)


def test_every_version_comes_back_byte_for_byte(tmp_path: Path) -> None:
    first = (HEADING + "2031-05-14,10:00,1.482,4.05,6.21,ü\n").encode("cp1252")
    second = HEADING.encode() + b"2031-05-14,10:00,1.484,4.05,6.21,\r\n"
    con, _ = ingested(write(tmp_path, {"slips.csv": first}))
    ingested(write(tmp_path, {"slips.csv": second}), con)
    ingested(write(tmp_path, {"slips.csv": first}), con)
    versions = con.execute("select version_id from raw_versions order by version_id").fetchall()
    assert [unarchive(con, version) for (version,) in versions] == [first, second]
    assert con.execute("select version_id from current_sheets").fetchall() == [(1,)]


def test_a_vanished_sheet_leaves_the_tables_but_not_the_archive(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"slips.csv": HEADING + "2031-05-14,10:00,1.482,4.05,6.21,\n"}))
    (tmp_path / "slips.csv").unlink()
    ingested(tmp_path, con)
    assert con.execute("select count(*) from timeslips").fetchall()[0] == (0,)
    assert con.execute("select count(*) from raw_versions").fetchall()[0] == (1,)


def test_the_sheets_are_never_written_to(tmp_path: Path) -> None:
    root = write(tmp_path, {"slips.csv": HEADING + "2031-05-14,10:00,abc,4.05,6.21,\n"})
    path = root / "slips.csv"
    path.chmod(0o444)
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    ingested(root)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


def test_of_several_rows_that_differ_the_earliest_is_named(tmp_path: Path) -> None:
    run = "2031-05-14,10:00,{},4.05,6.21,\n"
    rows = run.format("1.482") + "".join(run.format(f"1.4{at}") for at in range(83, 99))
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "slips.csv": HEADING + rows}))
    asked = con.execute('select "row", problem from questions where "column" = \'t60_s\'').fetchall()
    assert asked == [(2, "The same run is also in row 3, where it says 1.483.")]
