"""Ingest messy logbooks and count what was found, what was rightly suggested, and what was a false alarm."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.garage.logbook import Logbook
from pipeline.ingest.load import ingest_logbook
from pipeline.store.database import open_store
from tests.corpus.clean_season import make_season
from tests.corpus.sheet_styles import columns_of, make_style, write_logbook
from tests.corpus.slips_of_pen import Slip, spoil

SLIPS_EACH = 11
ROUNDING = {"s": 0.0006, "mph": 0.006, "degf": 0.6, "pct": 0.6, "in": 0.0011, "inhg": 0.006}
"""Half the last digit such a cell is written with; ring heights and shims to a thousandth."""
DOUBT_COUNTS = ("track below the air at noon", "comma decimal")
"""Kinds where showing a doubt, with the value kept, is the right thing to do."""


@dataclass(slots=True)
class Tally:
    """Counts over logbooks; ``misses`` and ``alarms`` say where."""

    injected: Counter[str] = field(default_factory=Counter)
    found: Counter[str] = field(default_factory=Counter)
    suggested: Counter[str] = field(default_factory=Counter)
    right: Counter[str] = field(default_factory=Counter)
    clean_cells: int = 0
    false_alarms: int = 0
    rules: Counter[str] = field(default_factory=Counter)
    unaccounted_rows: int = 0
    misses: list[str] = field(default_factory=list)
    alarms: list[str] = field(default_factory=list)

    @property
    def found_share(self) -> float:
        """Share of slips questioned or rejected."""
        return self.found.total() / self.injected.total()

    @property
    def right_share(self) -> float:
        """Share of suggestions that are the true value."""
        return self.right.total() / self.suggested.total()

    @property
    def alarm_share(self) -> float:
        """Share of clean cells under question."""
        return self.false_alarms / self.clean_cells

    def table(self) -> str:
        """A line a kind of error, and the totals."""
        lines = [f"{'kind':32} put in  found  suggested  right"]
        for kind, count in sorted(self.injected.items()):
            lines.append(
                f"{kind:32} {count:6d} {self.found[kind]:6d} {self.suggested[kind]:10d} {self.right[kind]:6d}"
            )
        lines.append(
            f"found {self.found_share:.2%}, suggestions right {self.right_share:.2%}, "
            f"false alarms {self.false_alarms} of {self.clean_cells} clean cells ({self.alarm_share:.3%}), "
            f"rows unaccounted {self.unaccounted_rows}"
        )
        return "\n".join(lines)


def run_corpus(folder: Path, logbooks: int, seed: int) -> Tally:
    """Make, spoil, write and ingest ``logbooks`` logbooks below ``folder``."""
    tally = Tally()
    for number in range(logbooks):
        _one(folder / f"logbook-{number}", np.random.default_rng([seed, number]), tally, number)
    return tally


def _one(root: Path, rng: np.random.Generator, tally: Tally, number: int) -> None:
    season, style = make_season(rng), make_style(rng)
    slips = spoil(rng, season, style, SLIPS_EACH)
    places = write_logbook(root, season, style)
    with open_store(root / "store.duckdb") as con:
        report = ingest_logbook(con, Logbook.open(root))
        questions = con.execute(
            'select file, sheet, row, "column", suggestion, severity, rule, value from questions'
        ).fetchall()
        merged = set(con.execute("select file, sheet, row from row_marks where fate = 'merged'").fetchall())
    total = report.total
    tally.unaccounted_rows += abs(
        total.read - total.kept - total.questioned - total.rejected - total.set_aside
    )
    where = _rows(season.rows, places, style.first_row)
    asked = {
        (f, s, r, c): (suggestion, severity, rule) for f, s, r, c, suggestion, severity, rule, _ in questions
    }
    excused: set[tuple[str, str, int, str]] = set()
    for slip in slips:
        excused |= _judge(slip, where, asked, merged, tally, number)
    for file, sheet, row, column, suggestion, severity, rule, value in questions:
        if (file, sheet, row, column) not in excused and severity != "doubt":
            tally.false_alarms += 1
            tally.rules[rule] += 1
            tally.alarms.append(f"{number} {file}:{row} {column} {value!r} -> {suggestion!r} {rule}")
    cells = sum(
        1
        for kind, rows in season.rows.items()
        for row in rows
        for name in columns_of(kind, season, style)
        if row.get(name) is not None
    )
    tally.clean_cells += cells - sum(len(slip.truths) for slip in slips)


def _rows(
    rows: dict[str, list[dict[str, Any]]], places: dict[str, tuple[str, str]], first: int
) -> dict[int, tuple[str, str, int]]:
    return {
        id(row): (*places[kind], first + at) for kind, listed in rows.items() for at, row in enumerate(listed)
    }


def _judge(
    slip: Slip,
    where: dict[int, tuple[str, str, int]],
    asked: dict[tuple[str, str, int, str], tuple[str | None, str, str]],
    merged: set[tuple[str, str, int]],
    tally: Tally,
    number: int,
) -> set[tuple[str, str, int, str]]:
    """Count one slip; give the cells where a question is no false alarm."""
    kind = slip.kind
    tally.injected[kind] += 1
    rows = [where[id(row)] for row in (slip.row, *slip.also_rows)]
    excused = {(*place, column) for place in rows for column in (*slip.truths, *slip.beside)}
    if "*" in slip.truths:
        ok = any(place in merged for place in rows)
        tally.found[kind] += ok
        if not ok:
            tally.misses.append(f"{number} {kind}: {rows[0]} not merged")
        return excused
    answers = [
        (column, asked[(*place, column)])
        for place in rows
        for column in (*slip.truths, *slip.beside)
        if (*place, column) in asked and (asked[(*place, column)][1] != "doubt" or kind in DOUBT_COUNTS)
    ]
    if not answers:
        tally.misses.append(
            f"{number} {kind}: {rows[0]} {slip.truths} { ({k: slip.row.get(k) for k in slip.truths}) }"
        )
        return excused
    tally.found[kind] += 1
    judged = [(column, said[0], slip.truths.get(column)) for column, said in answers if said[0] is not None]
    if judged and any(truth is not None for truth in slip.truths.values()):
        right = all(_same(said, truth, column) for column, said, truth in judged)
        tally.suggested[kind] += 1
        tally.right[kind] += right
        if not right:
            tally.misses.append(f"{number} {kind}: {rows[0]} suggested {judged}")
    return excused


def _same(said: str, truth: float | str | None, column: str) -> bool:
    """Whether a suggestion is the true value, within rounding of what was typed."""
    if truth is None:
        return False
    if isinstance(truth, str):
        return said == truth
    try:
        return abs(float(said) - truth) <= ROUNDING.get(column.rpartition("_")[2], 0.006)
    except ValueError:
        return False
