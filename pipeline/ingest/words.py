"""Names and set words, each distinct spelling once: cars, strips, lanes, pressure kinds, outcomes."""

from __future__ import annotations

import difflib
from collections import defaultdict

import duckdb
import polars as pl

from pipeline.dictionary import OUTCOMES
from pipeline.ingest.ditto import is_ditto
from pipeline.ingest.values import (
    is_nothing,
    read_lane,
    read_last_good_ft,
    read_names,
    read_outcome,
    read_pressure_kind,
)
from pipeline.logbook import Garage
from pipeline.store.database import query

DOUBTS_SCHEMA = {"column": pl.String, "text": pl.String, "problem": pl.String, "suggestion": pl.String}
OUTCOME_SCHEMA = {
    "outcome": pl.String,
    "notes": pl.String,
    "word": pl.String,
    "last_good_ft": pl.Int32,
    "problem": pl.String,
    "suggestion": pl.String,
}
KINDS_WITH_WORDS: dict[str, tuple[str, ...]] = {
    "timeslips": ("car", "venue", "lane"),
    "weather": ("venue", "pressure_kind"),
    "track": ("venue", "lane"),
    "setups": ("car",),
    "checks": ("car",),
}
SPOILED = ("missed shift", "lifted", "aborted", "broke")


def settle_words(con: duckdb.DuckDBPyConnection, garage: Garage) -> None:
    """Write every name and set word one way in the rows tables; doubtful ones go to ``bad_cells``.

    Parameters
    ----------
    con
        A writable store with its rows tables filled.
    garage
        For the names and their other spellings.
    """
    spelled: dict[str, list[str]] = defaultdict(list)
    for column, text, _ in con.execute(query("raw/name_texts")).fetchall():
        spelled[column].append(text)
    meant, doubts = _meanings(spelled, garage)
    if doubts:
        con.register("name_doubts", pl.DataFrame(doubts, schema=DOUBTS_SCHEMA, orient="row"))
        con.execute(query("raw/doubtful_names"))
        con.unregister("name_doubts")
    for kind, columns in KINDS_WITH_WORDS.items():
        if any(meant[column] for column in columns):
            lists: dict[str, list[str | None]] = {}
            for column in columns:
                lists[f"typed_{column}"] = list(meant[column])
                lists[f"meant_{column}"] = list(meant[column].values())
            con.execute(query(f"raw/settle_words_{kind}"), lists)
    _settle_outcomes(con)


def _meanings(
    spelled: dict[str, list[str]], garage: Garage
) -> tuple[dict[str, dict[str, str | None]], list[tuple[str, str, str, str | None]]]:
    """Give what each spelling means where that differs from it, and which are doubtful."""
    known = {
        "car": {car.name: car.also for car in garage.cars},
        "venue": {venue.name: venue.also for venue in garage.venues},
    }
    meant: dict[str, dict[str, str | None]] = defaultdict(dict)
    doubts: list[tuple[str, str, str, str | None]] = []
    for column, names in known.items():
        for text, (name, likely) in read_names(spelled[column], names).items():
            if is_ditto(text):
                problem = f"{text!r} is a ditto mark; write the name itself."
                doubts.append((column, text, problem, None))
            elif name != text:
                meant[column][text] = name
            if likely is not None:
                problem = f"{text!r} is not in garage.toml, but {likely!r} is."
                doubts.append((column, text, problem, likely))
    meant["lane"] = {text: read_lane(text) for text in spelled["lane"] if read_lane(text) != text}
    for text in spelled["pressure_kind"]:
        word = read_pressure_kind(text)
        if word is None and not is_nothing(text):
            doubts.append(("pressure_kind", text, f"{text[:40]!r} is neither station nor altimeter.", None))
        elif word is not None and word != text:
            meant["pressure_kind"][text] = word
    return meant, doubts


def _settle_outcomes(con: duckdb.DuckDBPyConnection) -> None:
    texts = con.execute(query("raw/outcome_texts")).fetchall()
    if not texts:
        return
    rows = [_outcome(outcome, notes) for outcome, notes, _ in texts]
    con.register("outcome_readings", pl.DataFrame(rows, schema=OUTCOME_SCHEMA, orient="row"))
    con.execute(query("raw/doubtful_outcomes"))
    con.execute(query("raw/settle_outcomes"))
    con.unregister("outcome_readings")


def _outcome(
    outcome: str | None, notes: str | None
) -> tuple[str | None, str | None, str | None, int | None, str, str | None]:
    word = read_outcome(outcome, notes)
    problem, suggestion = "", None
    if word is None and outcome is not None and not is_nothing(outcome):
        close = difflib.get_close_matches(outcome.casefold(), OUTCOMES, n=1, cutoff=0.6)
        suggestion = close[0] if close else None
        problem = f"{outcome[:40]!r} is not an outcome ({', '.join(OUTCOMES)})."
    last_good = None
    if word in SPOILED:
        last_good = read_last_good_ft(outcome) or read_last_good_ft(notes)
    return outcome, notes, word, last_good, problem, suggestion
