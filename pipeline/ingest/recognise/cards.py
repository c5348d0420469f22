"""Runs written over several lines each, known by what comes again: cards, slips copied out."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Sequence
from itertools import pairwise

from pipeline.garage.spelling import folded
from pipeline.ingest.clocks import AT_THE_START, IN_TEXT
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.plain_text import Text
from pipeline.ingest.recognise.spoken import date_in
from pipeline.ingest.recognise.told import told_by
from pipeline.ingest.recognise.vocabulary import AIR, SETTINGS, Meaning
from pipeline.ingest.spellings import LANE_WORDS

LEAST_CARDS, LEAST_NUMBERS = 3, 4
"""So many cards are a habit, and so many numbers a run."""
USUAL, NEARLY_ALL = 0.5, 0.8
"""A line that stands on so many cards is part of a card; so many cards must be alike."""
SOON, MOST_OPENED = 4, 0.7
"""A time of day after so few words opens a line: ``Ran at 11.56 am``; so many cards opened so are whole."""
_SLIP = re.compile(r"\d[.,]\d")
_TOLD = frozenset({"tells air", "tells settings"})
MOST_KEYS, MOST_ON_A_LINE = 40, 0.7
"""A line with so many of a card's numbers is a run by itself."""
_CONTINUES = re.compile(r"^\s*(?:[-=]{1,2}>|→|\.{2,}|…|\\|└|~>)\s*")
_MOMENTS = frozenset({"clock", "date"})
"""Lines that say when a run was."""
_BULLET = re.compile(r"^\s*(?:[-–—*•+o]\s+)(?=\S)")
_NUMBER = re.compile(r"\d+(?:[.,:/]\d+)*")


def on_cards(
    lines: Sequence[Text], meaning: Meaning, apart: Collection[int] = frozenset()
) -> list[Text] | None:
    """Join the lines of each card, at the row of its first line.

    Parameters
    ----------
    lines
        Row numbers and texts.
    meaning
        The likeliest meaning of a label.
    apart
        Numbers of rows that end a card and are part of none.

    Returns
    -------
    list of tuple
        Cards, and the other lines as they were; None when no lines come again in the same turn, or each holds
        a run by itself. What is said without a number at the end of a card stands behind a dash.
    """
    keys = ["" if number in apart else _key(text, meaning) for number, text in lines]
    start = _opening(keys, lines)
    if start is None:
        return None
    usual = _usual(keys, start)
    are_blocks = _after_blanks(keys, start) > NEARLY_ALL
    found: list[Text] = []
    card: list[Text] = []
    for (number, text), key in zip(lines, keys, strict=True):
        if key == start:
            found += _closed(card)
            card = [(number, text)]
        elif card and (
            key in usual or (key and _runs_on(card, number, text, is_told=key in _TOLD and not are_blocks))
        ):
            card.append((number, text))
        else:
            found += _closed(card)
            card = []
            found.append((number, text.strip()))
    return found + _closed(card)


def _key(text: str, meaning: Meaning) -> str:
    """Give what a line begins with, numbers as such: ``60 ft 1.4`` and ``60 ft 1.5`` begin alike."""
    bare = _CONTINUES.sub("> ", _BULLET.sub("", text.strip()))
    if not re.search(r"\w", bare):
        return ""
    if bare.startswith("> "):
        return ">"
    told, opens = _tells(bare, meaning), _opens(bare)
    if told and not (opens and told == "tells settings" and any(map(_is_side, bare.split()))):
        return told
    if opens:
        return "clock"
    if date_in(bare[:24])[0] and re.match(r"\W*(?:[^\W\d_]{2,12}[.,]*\s+){0,2}\d", bare):
        return "date" if IN_TEXT.search(bare) else "day"
    if distance := re.match(r"(?:60|330|660|1000|1320|1/[48]|18|20|100|201|305|402)(?![\d.,])", bare):
        return distance[0]
    if re.match(r"[^\W\d_]{1,2}\d{1,2}(?!\w)", bare):
        return "round"
    first = re.match(r"[^\W\d_]+(?:[-/][^\W\d_]+)?", bare)
    return folded(first[0]) if first else "number"


def _opens(text: str) -> bool:
    """Tell whether a line has a time of day at its beginning or after a few words, none of them measured."""
    if AT_THE_START.match(text):
        return True
    clock = IN_TEXT.search(text)
    before = text[: clock.start()] if clock else ""
    is_soon = clock is not None and len(re.findall(r"\w+", before)) <= SOON
    return is_soon and not _SLIP.search(before) and not date_in(text)[0]


def _is_side(word: str) -> bool:
    return len(own := folded(word)) > 2 and own in LANE_WORDS


def _tells(text: str, meaning: Meaning) -> str:
    """Say whether a line tells of the air or of settings and nothing else; empty for any other line."""
    told = set(told_by([text], meaning)) - {"time", "pressure_kind"} if re.search(r"\d", text) else set()
    if len(told & {*AIR}) > 1:
        return "tells air"
    return "tells settings" if len(told) > 1 and told <= {*SETTINGS} else ""


def _opening(keys: Sequence[str], lines: Sequence[Text]) -> str | None:
    """Give with what every card begins; None where there are no cards of several lines."""
    counts = Counter(filter(None, keys))
    often = {key for key, count in counts.items() if count >= LEAST_CARDS}
    best: tuple[float, str] | None = None
    for key in list(dict.fromkeys(one for one in keys if one in often))[:MOST_KEYS]:
        usual = _usual(keys, key)
        cards = _cards(keys, lines, key, usual)
        if key == "day" or not usual or not _are_runs(cards, is_opened=key in _MOMENTS):
            continue
        first = any(at == 0 and own == key for at, own in enumerate(keys))
        worth = len(usual) + _after_blanks(keys, key) + 0.1 * first + 0.2 * (key in _MOMENTS)
        if best is None or worth > best[0]:
            best = (worth, key)
    return best[1] if best else None


def _after_blanks(keys: Sequence[str], start: str) -> float:
    """Give the share of the lines that begin so which stand below a blank one or first."""
    own = [at for at, key in enumerate(keys) if key == start]
    return sum(at == 0 or not keys[at - 1] for at in own) / len(own)


def _usual(keys: Sequence[str], start: str) -> set[str]:
    """Give what else stands on most cards that begin so, as often on one as on another."""
    at = [place for place, key in enumerate(keys) if key == start]
    before = {key for key in keys[: at[0]] if key in _TOLD}
    times: dict[str, list[int]] = {}
    for low, high in pairwise([*at, len(keys)]):
        for key, count in Counter(filter(None, keys[low + 1 : high])).items():
            times.setdefault(key, []).append(count)
    return {
        key
        for key, counts in times.items()
        if key not in before
        and len(counts) >= max(USUAL * len(at), LEAST_CARDS)
        and counts.count(max(set(counts), key=counts.count)) >= NEARLY_ALL * len(counts)
    }


def _cards(keys: Sequence[str], lines: Sequence[Text], start: str, usual: set[str]) -> list[str]:
    """Give the texts of the cards that begin so."""
    cards: list[str] = []
    for (_, text), key in zip(lines, keys, strict=True):
        if key == start:
            cards.append(text)
        elif cards and key in usual:
            cards[-1] += f"\n{text}"
    return cards


def _are_runs(cards: Sequence[str], *, is_opened: bool) -> bool:
    """Tell whether nearly all of several cards hold the numbers of a run on more lines than one."""
    good = [card for card in cards if _is_run(card, is_opened=is_opened)]
    least = MOST_OPENED if is_opened else NEARLY_ALL
    return len(cards) >= LEAST_CARDS and len(good) >= least * len(cards)


def _is_run(card: str, *, is_opened: bool) -> bool:
    numbers = [len(re.findall(r"(?<![\d:])\d*[.,]\d{1,3}(?![\d:])", line)) for line in card.split("\n")]
    is_one = sum(count >= LEAST_NUMBERS for count in numbers) <= 1  # several such lines are several runs
    is_over = max(numbers) <= MOST_ON_A_LINE * sum(numbers) or (is_opened and numbers[0] < LEAST_NUMBERS - 1)
    return is_one and sum(numbers) >= LEAST_NUMBERS and is_over


def _runs_on(card: Sequence[Text], number: int, text: str, *, is_told: bool) -> bool:
    """Tell whether a line seldom seen stands right below a card, and is no day of its own."""
    return (
        not is_told
        and number == card[-1][0] + 1
        and (read_outcome(text, "") is not None or not date_in(text)[0])
    )


def _closed(card: Sequence[Text]) -> list[Text]:
    """Give a card as one line: numbers first, then what was said."""
    if not card:
        return []
    bare = [_BULLET.sub("", _CONTINUES.sub("", text)).strip().rstrip(",") for _, text in card]
    last = len(bare) - 1
    is_said = last > 0 and _NUMBER.search(bare[last]) is None
    is_said = is_said or (last > 0 and _CONTINUES.match(card[last][1]) is not None)
    whole = ""
    for text in bare[:last] if is_said else bare:
        whole += (" " if whole[-1:] in (".", "!") else ", ") * bool(whole) + text
    return [(card[0][0], f"{whole} -- {bare[last]}" if is_said else whole)]
