"""The questions to answer by clicking: one page that works from a file and saves ``questions.csv``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pipeline.files.spreadsheet_text import as_text
from reports.numbers import of
from reports.page import Page, render_page

ANSWERED_BY_ONE_WORD = ("accept", "keep", "leave out", "leave out row")
NO_SUGGESTION = frozenset({None, ""})


@dataclass(frozen=True, slots=True)
class QuestionsPage(Page):
    """What the page of questions is made from.

    Attributes
    ----------
    name
        Of the logbook; what was answered in the browser is kept under it.
    headings
        Columns of ``questions.csv``.
    lines
        Its lines, a value a heading: one a cause, which may be of many entries, then the stale answers.
    rows
        Each row with a question: heading and text of its cells, by file, tab and row.
    """

    name: str
    headings: tuple[str, ...]
    lines: Sequence[Sequence[Any]]
    rows: Mapping[tuple[str, str, int], Sequence[tuple[str, str]]]


def render(page: QuestionsPage) -> str:
    """Write the questions as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.
    """
    asked = [dict(zip(page.headings, line, strict=True)) | {"at": at} for at, line in enumerate(page.lines)]
    open_ones = [one for one in asked if one["severity"] not in {"stale", "doubt"}]
    doubts = [one for one in asked if one["severity"] == "doubt"]
    return render_page(
        "questions.html",
        page,
        title=f"{page.name}: questions",
        extra_scripts=("questions.js",),
        name=page.name,
        waiting=of(
            sum(one["entries"] or 1 for one in open_ones if not one["answer"]), "entry waits", "entries wait"
        ),
        groups=_groups(open_ones, page),
        doubts=_groups(doubts, page),
        stale=[one for one in asked if one["severity"] == "stale"],
        answer_file={
            "headings": page.headings,
            "lines": [[_cell(cell) for cell in line] for line in page.lines],
            "made": page.generated_at,
            "kept_as": f"slipledger questions {page.name}",
        },
    )


def _cell(cell: Any) -> str:
    return "" if cell is None else str(as_text(cell))


def _groups(asked: Sequence[dict[str, Any]], page: QuestionsPage) -> list[dict[str, Any]]:
    """Put alike questions together, those of one rule about one column of one sheet, to answer at once."""
    groups: dict[tuple[Any, ...], list[dict[str, Any]]] = {}
    for one in asked:
        groups.setdefault((one["file"], one["sheet"], one["column"], one["rule"]), []).append(
            _card(one, page)
        )
    return [
        {
            "where": _sheet(cards[0]),
            "column": cards[0]["column"],
            "cards": cards,
            "can_accept": all(card["suggestion"] not in NO_SUGGESTION for card in cards),
        }
        for cards in groups.values()
    ]


def _sheet(one: Mapping[str, Any]) -> str:
    return f"{one['file']} ({one['sheet']})" if one["sheet"] else str(one["file"])


def _card(one: dict[str, Any], page: QuestionsPage) -> dict[str, Any]:
    answer = str(one["answer"] or "")
    word = answer if answer in ANSWERED_BY_ONE_WORD else "own" if answer else ""
    row = page.rows.get((one["file"], one["sheet"] or "", one["row"]), ())
    return one | {"word": word, "own": answer if word == "own" else "", "cells": row}
