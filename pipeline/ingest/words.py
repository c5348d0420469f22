"""Names and set words, each distinct spelling once: cars, strips, lanes, pressure kinds, outcomes."""

from __future__ import annotations

import difflib
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping

import duckdb
import polars as pl

from pipeline.garage.dictionary import OUTCOMES, SHEET_TABLES
from pipeline.garage.logbook import Garage
from pipeline.garage.spelling import folded
from pipeline.ingest.ditto import is_ditto
from pipeline.ingest.other_racer import names_another
from pipeline.ingest.outcome_words import other_tongues
from pipeline.ingest.outcomes import read_last_good_ft, read_outcome
from pipeline.ingest.spellings import (
    close_lane,
    close_pairs,
    lane_words,
    merged_spellings,
    read_names,
    read_pressure_kind,
)
from pipeline.ingest.values import is_nothing
from pipeline.store.database import lend, query

DOUBTS_SCHEMA = {"column": pl.String, "text": pl.String, "problem": pl.String, "suggestion": pl.String}
MOST_SIGNS = 3
_SIGNS = re.compile(r"[\u3040-\u30ff\u4e00-\u9fff\u0e00-\u0e7f]")
OUTCOME_SCHEMA = {
    "outcome": pl.String,
    "notes": pl.String,
    "word": pl.String,
    "last_good_ft": pl.Int32,
    "problem": pl.String,
    "suggestion": pl.String,
}
NameDoubt = tuple[str, str, str, str | None]
"""Column, spelling, problem and suggestion."""
FEW_ODD = 10
"""For each odd word so many others must be known."""
MOST_ROWS_OF_A_SLIP = 3
"""In more rows than these of one sheet nobody misspells a name the same way."""
MOST_NOTES = 2000
"""So many notes are looked through for the words to ask of all."""
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
    spelled: dict[str, dict[str, int]] = defaultdict(dict)
    for column, text, times in con.execute(query("raw/name_texts")).fetchall():
        spelled[column][text] = times
    meant, doubts = _meanings(spelled, garage)
    doubts += _doubtful_pairs(con, spelled, meant, garage)
    if doubts:
        lend(con, "name_doubts", pl.DataFrame(doubts, schema=DOUBTS_SCHEMA, orient="row"))
        con.execute(query("raw/doubtful_names"))
        con.unregister("name_doubts")
    for kind, table in SHEET_TABLES.items():
        if any(meant[column] for column in table.settled):
            lists: dict[str, list[str | None]] = {}
            for column in table.settled:
                lists[f"typed_{column}"] = list(meant[column])
                lists[f"meant_{column}"] = list(meant[column].values())
            con.execute(query("raw/settle_words", kind), lists)
    _settle_outcomes(con)


def _meanings(
    spelled: dict[str, dict[str, int]], garage: Garage
) -> tuple[dict[str, dict[str, str | None]], list[NameDoubt]]:
    """Return what each spelling means where that differs from it, and which are doubtful."""
    meant: dict[str, dict[str, str | None]] = defaultdict(dict)
    doubts: list[NameDoubt] = []
    for column, names in _listed(garage).items():
        meant[column] |= _only_number(spelled[column], names)
        for text, (name, likely) in read_names(spelled[column], names).items():
            if text in meant[column]:
                continue
            if is_ditto(text):
                problem = f"{text!r} is a ditto mark; write the name itself."
                doubts.append((column, text, problem, None))
            elif name != text:
                meant[column][text] = name
            if likely is not None:
                problem = f"{text!r} is not in garage.toml, but {likely!r} is."
                doubts.append((column, text, problem, likely))
    words = lane_words(spelled["lane"])
    lanes = {text: words.get(folded(text), text.strip()) for text in spelled["lane"]}
    meant["lane"] = {text: lane for text, lane in lanes.items() if lane != text}
    doubts += _odd_lanes(spelled["lane"], words)
    for text in spelled["pressure_kind"]:
        word = read_pressure_kind(text)
        if word is None and not is_nothing(text):
            doubts.append(("pressure_kind", text, f"{text[:40]!r} is neither station nor altimeter.", None))
        elif word is not None and word != text:
            meant["pressure_kind"][text] = word
    return meant, doubts


def _odd_lanes(times: Mapping[str, int], words: Mapping[str, str]) -> list[NameDoubt]:
    """Ask about the few words for a lane that are none, where nearly all others are."""
    written = {text: count for text, count in times.items() if not is_nothing(text)}
    odd = {text: count for text, count in written.items() if folded(text) not in words}
    known = sum(written.values()) - sum(odd.values())
    if sum(odd.values()) * FEW_ODD > known:
        return []
    return [
        ("lane", text, f"{text[:40]!r} is neither the left nor the right lane.", close_lane(text))
        for text in odd
        if not is_ditto(text)
    ]


def _only_number(times: Mapping[str, int], names: Mapping[str, object]) -> dict[str, str | None]:
    """Take the one competition number in a column for the one car of garage.toml."""
    texts = list(times)
    is_number = len(texts) == 1 and re.fullmatch(r"\W*\d{1,4}\s?[^\W\d_]?", texts[0]) is not None
    return {texts[0]: next(iter(names))} if is_number and len(names) == 1 else {}


def _listed(garage: Garage) -> dict[str, dict[str, tuple[str, ...]]]:
    """Return the names of garage.toml with their other spellings, by column."""
    return {
        "car": {car.name: car.also for car in garage.cars},
        "venue": {venue.name: venue.also for venue in garage.venues},
    }


def _doubtful_pairs(
    con: duckdb.DuckDBPyConnection,
    spelled: dict[str, dict[str, int]],
    meant: dict[str, dict[str, str | None]],
    garage: Garage,
) -> list[NameDoubt]:
    """Compare names that garage.toml does not list with each other; those that only differ in case are one.

    A rare spelling is doubtful beside a close and much more common one; a frequent one when the two never
    stand on the same sheet, as when the weather sheet spells the strip in its own way.
    """
    doubts: list[NameDoubt] = []
    for column, listed in _listed(garage).items():
        totals, same = merged_spellings(_unlisted(spelled[column], listed))
        meant[column] |= same
        pairs = close_pairs(totals)
        ways = {name: [name] for name in totals}
        for text, name in same.items():
            ways[name].append(text)
        asked = [text for pair in pairs for name in pair for text in ways[name]]
        sheets = _sheets_of_names(con, column, asked)
        for rare, common in pairs:
            is_rare = totals[rare] <= MOST_ROWS_OF_A_SLIP and totals[common] >= 4 * totals[rare]
            on_rare, on_common = (
                {at for text in ways[name] for at in sheets[text]} for name in (rare, common)
            )
            if is_rare or not on_rare & on_common:
                problem = f"{rare!r} is close to {common!r}, which stands in more rows; is it one name?"
                doubts += [(column, text, problem, common) for text in ways[rare]]
    return doubts


def _unlisted(times: dict[str, int], listed: Mapping[str, Iterable[str]]) -> dict[str, int]:
    """Leave out ditto marks and whatever garage.toml has, or nearly has."""
    known = {folded(text) for name, also in listed.items() for text in (name, *also)}
    likely = {text for text, (_, likely) in read_names(times, listed).items() if likely is not None}
    return {
        text: count
        for text, count in times.items()
        if text not in likely and folded(text) not in known and not is_ditto(text)
    }


def _sheets_of_names(con: duckdb.DuckDBPyConnection, column: str, texts: list[str]) -> dict[str, set[int]]:
    found: dict[str, set[int]] = defaultdict(set)
    if texts:
        rows = con.execute(query("raw/name_sheets", column), {"texts": texts}).fetchall()
        for text, sheet_no in rows:
            found[text].add(sheet_no)
    return found


def _settle_outcomes(con: duckdb.DuckDBPyConnection) -> None:
    lone = con.execute(query("raw/lone_notes"), {"most": MOST_NOTES + 1}).fetchall()
    beginnings = other_tongues(None if len(lone) > MOST_NOTES else [notes for (notes,) in lone])
    texts = con.execute(query("raw/outcome_texts"), {"other_tongues": beginnings}).fetchall()
    if not texts:
        return
    rows = [_outcome(outcome, notes) for outcome, notes, _ in texts]
    lend(con, "outcome_readings", pl.DataFrame(rows, schema=OUTCOME_SCHEMA, orient="row"))
    con.execute(query("raw/doubtful_outcomes"))
    con.execute(query("raw/settle_outcomes"))
    con.unregister("outcome_readings")


def _is_one_word(text: str) -> bool:
    """Tell whether a text is one word; of tongues that put no blank between words four signs are more."""
    return len(text.split()) == 1 and len(_SIGNS.findall(text)) <= MOST_SIGNS


def _outcome(
    outcome: str | None, notes: str | None
) -> tuple[str | None, str | None, str | None, int | None, str, str | None]:
    word = read_outcome(outcome, notes)
    problem, suggestion = "", None
    if word is None and outcome is not None and not is_nothing(outcome):
        close = difflib.get_close_matches(outcome.casefold(), OUTCOMES, n=1, cutoff=0.6)
        suggestion = close[0] if close else None
        if (close or _is_one_word(outcome)) and not names_another(outcome):  # more words are a remark
            problem = f"{outcome[:40]!r} is not an outcome ({', '.join(OUTCOMES)})."
    last_good = None
    if word in SPOILED:
        last_good = read_last_good_ft(outcome) or read_last_good_ft(notes)
    return outcome, notes, word, last_good, problem, suggestion
