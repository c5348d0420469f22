"""The parts of README.md made from the program; ``python -m tests.readme_blocks`` renews them."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

import duckdb

from pipeline import stages
from pipeline.garage.dictionary import SHEET_TABLES
from pipeline.garage.factors import ADJUSTMENTS, CONDITIONS
from pipeline.store.database import query, query_names, read_store
from pipeline.workspace import Workspace

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
ROWS_SHOWN = 3


def demo_store(folder: Path) -> Path:
    """Run the modelling stage on the demo, with the store outside it."""
    space = Workspace.of(ROOT / "sample_timeslips" / "logbook", store=folder / "demo.duckdb", out=folder)
    stages.fit(space, car=None)
    return space.store


def questions_to_ask(store: Path) -> str:
    """Each query of ``queries/ask/`` with its question and its first rows on the demo."""
    parts = []
    with read_store(store) as con:
        for name in query_names("ask"):
            sql = query(name)
            asked = re.search(r"^-- Question: (.*)$", sql, re.MULTILINE)
            assert asked is not None, name
            parts.append(
                f"**{asked[1][:1].upper()}{asked[1][1:]}** (`queries/{name}.sql`)\n\n{_table(con, sql)}"
            )
    return "\n\n".join(parts)


def _table(con: duckdb.DuckDBPyConnection, sql: str) -> str:
    found = con.execute(sql)
    heads = [column[0] for column in found.description or []]
    rows = found.fetchmany(ROWS_SHOWN)
    lines = [heads, ["---"] * len(heads), *([_cell(value) for value in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return " ".join(str(value).replace("|", "/").split())


def columns_of_sheets() -> str:
    """Every column a sheet may have: what it is called, its unit when none is written, what it means."""
    parts = []
    for kind, table in SHEET_TABLES.items():
        rows = [
            f"| {column.heading} | {column.unit or 'text'} | {column.meaning} |"
            for column in table.columns
            if column.heading
        ]
        parts.append(
            "\n".join(
                [f"*{kind}*: {table.grain}", "", "| column | unit | meaning |", "| --- | --- | --- |", *rows]
            )
        )
    return "\n\n".join(parts)


def adjustments() -> str:
    """Every built-in adjustment: its step, how finely and how far it is suggested, where its limits stand."""
    heads = [
        "adjustment",
        "judged per",
        "set to a multiple of",
        "one suggestion moves it at most",
        "its limits in `garage.toml`",
        "between rounds",
    ]
    rows = [
        [
            f.label, f.step_words, f.spoken(f.grid), f.spoken(f.reach),
            f"`{f.limits_key}` of `[[{f.limits_part}]]`", "yes" if f.is_quick else "no",
        ]
        for f in ADJUSTMENTS
    ]  # fmt: skip
    return "\n".join(f"| {' | '.join(line)} |" for line in (heads, ["---"] * len(heads), *rows))


def conditions() -> str:
    """Every condition the model allows for: its step, where it is written down, and when it is shown."""
    rows = [
        [f.part_spoken if f.alters else f.label.format("..."), "" if f.alters else f.step_words, f.written_as,
         "330 ft, from 60 to 330 ft" if f.moves else "all",
         "where the runs say something of it" if f.is_told else "always"]
        for f in CONDITIONS
        if not (f.part and not f.by)
    ]  # fmt: skip
    heads = ["condition", "judged per", "how you write it down", "times", "shown"]
    return "\n".join(f"| {' | '.join(line)} |" for line in (heads, ["---"] * len(heads), *rows))


def with_block(text: str, name: str, block: str) -> str:
    """Put a block between its markers."""
    pattern = re.compile(rf"(<!-- {name} -->\n).*?(<!-- /{name} -->)", re.DOTALL)
    assert pattern.search(text), name
    return pattern.sub(lambda found: found[1] + block + "\n" + found[2], text)


def renewed(text: str, store: Path) -> str:
    """Give README.md with every made part renewed."""
    text = with_block(text, "questions to ask", questions_to_ask(store))
    text = with_block(text, "adjustments", adjustments())
    text = with_block(text, "conditions", conditions())
    return with_block(text, "columns", columns_of_sheets())


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        README.write_text(
            renewed(README.read_text(encoding="utf-8"), demo_store(Path(made))), encoding="utf-8"
        )
