"""Mistakes of garage.toml in a person's words."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from typing import Any

from pydantic import BaseModel


def mistake(error: Any, text: str, keys_of: Callable[[str], list[str]]) -> str:
    """Say one mistake of garage.toml: its line, what is wrong, what stands there."""
    place = error["loc"]
    table = str(place[0]) if place else ""
    number = place[1] if len(place) > 1 and isinstance(place[1], int) else None
    key = next((str(part) for part in reversed(place) if isinstance(part, str)), table)
    line = _line_of(text, table, number, key)
    where = f"line {line}, " if line else ""
    if error["type"] == "extra_forbidden":
        return f"{where}{key!r} is not known in {_spoken_table(table)}{perhaps(key, keys_of(table))}"
    if error["type"] == "missing":
        return f"{where}{_spoken_table(table)} needs a line {key!r}"
    message = str(error["msg"]).removeprefix("Value error, ")
    shown = "" if isinstance(error["input"], dict | BaseModel) else f" (it says {str(error['input'])[:60]!r})"
    subject = f"{key}: " if key and key != table else ""
    return f"{where}{subject}{message}{shown}"


def perhaps(word: str, known: list[str]) -> str:
    """Return the end of a sentence on a word that is not known: the nearest known one, or all of them."""
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    if close:
        return f"; did you mean {close[0]!r}?"
    return f"; known here: {', '.join(known)}" if known else ", which is not described"


def _spoken_table(table: str) -> str:
    return f"[[{table}]]" if table in {"car", "clutch", "venue", "adjustment"} else "garage.toml"


def _line_of(text: str, table: str, number: int | None, key: str) -> int | None:
    """Find the line of a key in the given table, counted from 1."""
    seen = -1
    heading_line = None
    for at, line in enumerate(text.splitlines(), start=1):
        if re.match(rf"\s*\[\[\s*{re.escape(table)}\s*\]\]", line):
            seen += 1
            if seen == (number or 0):
                heading_line = at
        elif heading_line is not None and re.match(r"\s*\[", line):
            break
        inside = heading_line is not None or number is None
        if inside and re.match(rf"""\s*["']?{re.escape(key)}["']?\s*=""", line):
            return at
    return heading_line
