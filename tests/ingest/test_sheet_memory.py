"""A sheet that has not changed is not looked at again, and the store is as if it had been."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import duckdb
import numpy as np
import pytest

from pipeline.ingest import read_sheets, rows
from pipeline.ingest.questions import HEADINGS
from tests.corpus.clean_season import make_season
from tests.corpus.sheet_styles import make_style, write_logbook
from tests.corpus.slips_of_pen import spoil
from tests.ingest.logbooks import GARAGE, HEADING, ingested, write
from tests.ingest.test_history import contents

SEED = 20330417
SLIPS = HEADING + "5/10/2031,10:00,1.472,4.051,6.211,\n5/10/2031,13:00,1.481,4.062,6.230,\n"
WEATHER = "date,time,venue,air temp,pressure,humidity\n5/10/2031,9:30,Cinder,71,29.1,40\n"
FILES = {"garage.toml": GARAGE, "slips.csv": SLIPS, "air.csv": WEATHER}
ONE_MORE = "5/10/2031,15:00,1.469,4.040,6.202,\n"
ROUNDS = "date,time,venue,round,60 ft,330 ft,660 ft\n" + "".join(
    f"5/10/2031,1{number}:00,Cinder,T{number},1.47{number},4.05{number},6.21{number}\n" for number in range(4)
)
BY_ROUND = "date,venue,before run,track temp\n" + "".join(
    f"5/10/2031,Cinder,T{number},9{number}\n" for number in range(3)
)


@pytest.fixture
def looks(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names of the files that were looked at."""
    seen: list[str] = []
    look = read_sheets.look_at

    def noting(sheet: Any, reader: Any) -> Any:
        seen.append(sheet.file)
        return look(sheet, reader)

    monkeypatch.setattr(read_sheets, "look_at", noting)
    return seen


def looked_at_after(root: Path, looks: list[str], edit: Callable[[], object]) -> list[str]:
    """Files looked at when a logbook is ingested again after an edit; the store is held to a new one."""
    kept, _ = ingested(root)
    edit()
    looks.clear()
    ingested(root, kept)
    seen = list(looks)
    assert contents(kept) == contents(ingested(root)[0])
    return seen


def test_one_new_slip_looks_at_one_sheet(tmp_path: Path, looks: list[str]) -> None:
    write(tmp_path, FILES)
    assert looked_at_after(tmp_path, looks, lambda: write(tmp_path, {"slips.csv": SLIPS + ONE_MORE})) == [
        "slips.csv"
    ]


def test_one_new_slip_reads_the_rows_of_one_sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []
    canonical = rows._canonical

    def noting(sheet: Any, *more: Any) -> Any:
        read.append(sheet.file)
        return canonical(sheet, *more)

    monkeypatch.setattr(rows, "_canonical", noting)
    write(tmp_path, FILES)
    assert looked_at_after(tmp_path, read, lambda: write(tmp_path, {"slips.csv": SLIPS + ONE_MORE})) == [
        "slips.csv"
    ]


def test_rows_are_read_again_for_another_only_car(tmp_path: Path) -> None:
    root = write(tmp_path / "Marigold", {"slips.csv": SLIPS, "air.csv": WEATHER})
    kept, _ = ingested(root)
    root = root.rename(tmp_path / "Nightjar")
    ingested(root, kept)
    assert contents(kept) == contents(ingested(root)[0])
    assert kept.execute("select distinct car from timeslips").fetchall() == [("Nightjar",)]


def test_another_run_is_no_news_to_a_sheet_that_names_runs(tmp_path: Path, looks: list[str]) -> None:
    write(tmp_path, FILES | {"slips.csv": ROUNDS, "track.csv": BY_ROUND})
    more = ROUNDS + "5/10/2031,16:00,Cinder,T6,1.476,4.056,6.216\n"
    assert looked_at_after(tmp_path, looks, lambda: write(tmp_path, {"slips.csv": more})) == ["slips.csv"]


def test_a_sheet_that_names_a_run_is_looked_at_when_that_run_changes(
    tmp_path: Path, looks: list[str]
) -> None:
    write(tmp_path, FILES | {"slips.csv": ROUNDS, "track.csv": BY_ROUND})
    other = ROUNDS.replace("11:00", "11:20")
    seen = looked_at_after(tmp_path, looks, lambda: write(tmp_path, {"slips.csv": other}))
    assert sorted(seen) == ["slips.csv", "track.csv"]


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("garage.toml", GARAGE.replace('"arm weight"', '"lever weight"')),
        ("questions.csv", f"{','.join(HEADINGS)}\n1,nothing,air.csv,,1,heading,pressure\n"),
    ],
)
def test_what_every_sheet_is_read_by_looks_at_all(
    tmp_path: Path, looks: list[str], name: str, content: str
) -> None:
    write(tmp_path, FILES)
    seen = looked_at_after(tmp_path, looks, lambda: write(tmp_path, {name: content}))
    assert sorted(seen) == ["air.csv", "slips.csv"]


def test_a_name_that_a_sheet_tells_is_heard_by_all(tmp_path: Path, looks: list[str]) -> None:
    write(tmp_path, FILES)
    named = "date,time,venue,60 ft,330 ft\n" + "".join(
        f"5/1{day}/2031,10:00,Tarn Hill,1.47{day},4.05{day}\n" for day in range(4)
    )
    seen = looked_at_after(tmp_path, looks, lambda: write(tmp_path, {"more.csv": named}))
    assert sorted(seen) == ["air.csv", "more.csv", "slips.csv"]


def test_a_line_that_explains_headings_elsewhere_is_news_to_all(tmp_path: Path, looks: list[str]) -> None:
    heads = "date,time,60 ft,330 ft,xq,zz\n"
    rows = "5/10/2031,10:00,1.472,4.051,3,4.5\n5/10/2031,13:00,1.481,4.062,3.25,4.5\n"
    notes = "date,time,air temp\nxq = turns of preload; zz = counterweight,,\n5/10/2031,9:30,71\n"
    root = write(tmp_path, {"garage.toml": GARAGE, "slips.csv": heads + rows, "air.csv": notes})
    other = notes.replace("counterweight", "launch rpm")
    assert looked_at_after(root, looks, lambda: (root / "air.csv").write_text(other)) == [
        "air.csv",
        "slips.csv",
    ]


def test_fresh_looks_at_everything(tmp_path: Path, looks: list[str]) -> None:
    from pipeline.garage.logbook import Logbook
    from pipeline.ingest.load import ingest_logbook

    kept, _ = ingested(write(tmp_path, FILES))
    looks.clear()
    ingest_logbook(kept, Logbook.open(tmp_path), fresh=True)
    assert sorted(looks) == ["air.csv", "slips.csv"]


def test_what_no_sheet_is_any_more_is_forgotten(tmp_path: Path) -> None:
    kept, _ = ingested(write(tmp_path, FILES))
    (tmp_path / "air.csv").unlink()
    ingested(write(tmp_path, {"slips.csv": SLIPS + ONE_MORE}), kept)
    assert kept.execute("select version_id, sheet from kept_sheets").fetchall() == [(3, "")]
    rows_kept = kept.execute("select count(*), count(distinct mark) from kept_rows_timeslips").fetchall()
    assert rows_kept == [(len(SLIPS.splitlines()) + 1, 1)]
    assert kept.execute("select count(*) from kept_rows_weather").fetchall() == [(0,)]


def edit(root: Path, luck: random.Random) -> None:
    """Change one file of a logbook in one of the ways people do, also badly."""
    files = sorted(path for path in root.iterdir() if path.suffix in {".csv", ".tsv"})
    if not files:
        return
    path = luck.choice(files)
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    at = luck.randrange(len(lines))
    change = luck.choice(["cell", "cell", "delete", "double", "swap", "rename", "copy", "remove", "garage"])
    if change == "cell":
        words = lines[at].split(",")
        words[luck.randrange(len(words))] = luck.choice(["", "1.5", "x", "7/4/2031", "Tarn Hill", "12"])
        lines[at] = ",".join(words).rstrip("\n") + "\n"
    elif change == "delete":
        del lines[at]
    elif change == "double":
        lines.insert(luck.randrange(len(lines)), lines[at])
    elif change == "swap":
        other = luck.randrange(len(lines))
        lines[at], lines[other] = lines[other], lines[at]
    elif change == "garage":
        with (root / "garage.toml").open("a", encoding="utf-8") as garage:
            garage.write(f"\n[[venue]]\nname = 'Strip {luck.random():.6f}'\n")
    if change in {"rename", "copy"}:
        (shutil.move if change == "rename" else shutil.copy)(
            path, root / f"Tarn Hill {luck.random():.4f}.csv"
        )
    elif change == "remove" and len(files) > 2:
        path.unlink()
    else:
        path.write_text("".join(lines), encoding="utf-8")


def compare(root: Path, seed: int, edits: int) -> None:
    rng, luck = np.random.default_rng(seed), random.Random(seed)
    season, style = make_season(rng), make_style(rng)
    spoil(rng, season, style, 8)
    write_logbook(root, season, style)
    kept = duckdb.connect()
    for number in range(edits):
        ingested(root, kept)
        assert contents(kept) == contents(ingested(root)[0]), f"seed {seed}, edit {number}"
        edit(root, luck)


@pytest.mark.parametrize("seed", [SEED, SEED + 2])
def test_a_store_after_edits_equals_a_fresh_one(tmp_path: Path, seed: int) -> None:
    compare(tmp_path / "logbook", seed, edits=3)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(SEED, SEED + 40))
def test_stores_after_many_edits_equal_fresh_ones(tmp_path: Path, seed: int) -> None:
    compare(tmp_path / "logbook", seed, edits=12)
