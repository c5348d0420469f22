"""Lines of plain text as lines of cells: printed forms in columns, cards of a label and a value a line."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from pipeline.ingest.clocks import IN_TEXT
from pipeline.ingest.recognise.cards import on_cards
from pipeline.ingest.recognise.entries import joined
from pipeline.ingest.recognise.in_order import labelled_by_order
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning, is_heading
from pipeline.ingest.recognise.ordered import rows_in_order
from pipeline.ingest.recognise.pages import over_each_other, second_storeys, titles_again
from pipeline.ingest.recognise.plain_text import banners, frames_off, plain_text
from pipeline.ingest.recognise.profile import looks, number_of
from pipeline.ingest.recognise.prose import in_sentences
from pipeline.ingest.recognise.spoken import date_in
from pipeline.ingest.recognise.tagged import tags_in_words
from pipeline.ingest.recognise.told import by_unit, told_by
from pipeline.ingest.recognise.vocabulary import SPOKEN

TEXT_SHARE = 0.9
LEAST_HEADINGS, LEAST_TOKENS, LEAST_TOLD = 4, 3, 2
MOSTLY, LEAST_LABELS, IN_TURN = 0.5, 3, 0.9
MOST_WORDS = 4
"""A label with no mark behind it has a value of so many words; more is a sentence."""
HALF = 0.5
LEAST_REMARKS, CROWDED = 3, 0.15
BLANK_SHARE, FEW_SHIFTED, MOST_SHIFTED = 0.97, 0.1, 3
"""A place is between two columns when so many of the lines are blank there; of few lines, all but so many: a
figure too many shifts what stands behind it."""
_GAP = re.compile(r"\s{2,}|\t")
_LABELLED = re.compile(
    r"^(?P<label>[^\W_][^:=\t]{0,39}?)\s*(?::|=|\t|\.{2,}|\s-+>?\s|\s\|\s|\s{2,})\s*(?P<value>\S.*)$"
)
_SURELY = re.compile(r"^[^\d:=]{2,30}?(?::\s|=|\t|\.{2,})\s*\S")
_DECIMALS = re.compile(r"(?<![\d:.,/])\d*[.,]\d{1,3}(?![\d:]|[.,/]\d)")
_TIME_AND_SPEED = re.compile(r"^[^:=]*[:=\s]\s*\d*[.,]\d+\s*(?:@|at|/)\s*\d+[.,]\d+\s*(?:mph|km/?h)?\s*$")
_PAIR = re.compile(r"[^\W\d_][^\d]*?[\s:=]+[-+]?\d*[.,]?\d+(?=\s|$)")
_IN_WORDS = frozenset({"car", "venue", "event", "driver", "outcome", "notes"})
_VALUE = re.compile(r"(?i)^[-+~]?[.,]?\d|^(?:calm|left|right|[nsew]{1,3}\s+\d)")


def is_text(lines: Sequence[Line]) -> bool:
    """Tell whether a sheet is lines of text, one cell each."""
    filled = [sum(map(bool, cells)) for _, cells in lines]
    return sum(count <= 1 for count in filled) >= TEXT_SHARE * len(filled) and any(filled)


def cells_of_text(lines: Sequence[Line], meaning: Meaning) -> list[Line]:
    """Part lines of text into cells.

    Parameters
    ----------
    lines
        As they stand, blanks at their beginning kept.
    meaning
        The likeliest meaning of a heading or label.

    Returns
    -------
    list of tuple
        Columns of a printed form; else label and value where most lines have them, a line with several more
        than once; else the lines as they are, without rules and frames.
    """
    texts = [(number, next((text for text in cells if text), "")) for number, cells in lines]
    bare = tags_in_words(frames_off(in_sentences(texts)), meaning)
    plain = plain_text(bare, meaning)
    if rows := rows_in_order(plain, meaning):
        return rows
    if form := _form(labelled_by_order(bare, meaning), meaning):
        return form
    plain = labelled_by_order(plain, meaning)
    apart = banners(texts)
    cards = on_cards(plain, meaning, apart)
    is_more = _are_crowded(plain) or (cards and _lose_their_moment(plain, meaning))
    labelled = None if is_more else _labelled(plain, meaning)
    return labelled or [(number, [text]) for number, text in cards or joined(plain, apart)]


def _are_crowded(lines: Sequence[tuple[int, str]]) -> bool:
    """Tell whether many lines hold several values, so that a label and a value a line is not the habit."""
    counts = [len(_DECIMALS.findall(text)) for _, text in lines if _DECIMALS.search(text)]
    pairs = sum(_TIME_AND_SPEED.search(text) is not None for _, text in lines)
    return sum(count > 1 for count in counts) - pairs > CROWDED * len(counts)


def _lose_their_moment(lines: Sequence[tuple[int, str]], meaning: Meaning) -> bool:
    """Tell whether times of day stand where a label and a value a line would not find them."""
    timed = [text for _, text in lines if IN_TEXT.search(text)]
    lost = [
        text for text in timed if not any(IN_TEXT.fullmatch(value) for _, value in _labels(text, meaning))
    ]
    return len(lost) > HALF * len(timed)


def level(lines: Sequence[Line]) -> list[Line]:
    """Give all lines as many cells as the longest has."""
    width = max((len(cells) for _, cells in lines), default=0)
    return [(number, [*cells, *[""] * (width - len(cells))]) for number, cells in lines]


# --- printed forms


def _form(texts: Sequence[tuple[int, str]], meaning: Meaning) -> list[Line] | None:
    heads = [
        at
        for at, (_, text) in enumerate(texts)
        if len(pieces := _GAP.split(text.strip())) >= LEAST_HEADINGS
        and not _DECIMALS.search(text)
        and is_heading(pieces, meaning)
    ]
    under = second_storeys(texts, heads)
    heads = [at for at in heads if at not in under]
    below = {texts[at][1]: texts[at + 1][1] if at + 1 in under else "" for at in heads}
    if not below:
        return None
    again = titles_again(texts, heads)
    texts = [(number, "" if at in under | again else text) for at, (number, text) in enumerate(texts)]
    edges = {head: _edges(texts, heads, head, second) for head, second in below.items()}
    counted = {head: 0 if second else _in_turn(texts, heads, head) for head, second in below.items()}
    in_turn = 0
    width = max(*(len(own) for own in edges.values()), *counted.values())
    if width < LEAST_HEADINGS:
        return None
    lines: list[Line] = []
    own: list[tuple[int, int]] = []
    for at, (number, text) in enumerate(texts):
        own = edges[text] if at in heads else own
        in_turn = counted[text] if at in heads else in_turn
        pieces = [piece for piece in _GAP.split(text.strip()) if piece]
        if at in heads and below[text]:
            lines.append((number, over_each_other(_sliced(text, own), _sliced(below[text], own))))
        elif own and told_by([text.strip()], meaning):
            lines.append((number, [text.strip()]))
        elif own and in_turn == len(pieces):
            lines.append((number, pieces))
        elif own and (at in heads or (_is_row(text, own) and not _pairs(_GAP.split(text.strip()), meaning))):
            lines.append((number, _sliced(text, own)))
        else:
            lines.append((number, [", ".join(pieces)] if _names_a_day(pieces) else pieces))
    return _below_each(lines, meaning)


def _names_a_day(pieces: Sequence[str]) -> bool:
    """Tell whether the words of a line, far apart, are a day with its strip or event."""
    days = sum(bool(date_in(piece)[0]) for piece in pieces)
    rest = [piece for piece in pieces if not date_in(piece)[0]]
    return days == 1 and len(pieces) > 1 and not re.search(r"[\d:=]", "".join(rest))


def _in_turn(texts: Sequence[tuple[int, str]], heads: Sequence[int], head: str) -> int:
    """Count the columns of a form whose rows have as many pieces as its headings; 0 for any other."""
    wanted, counts, is_own = len(_GAP.split(head.strip())), [], False
    for at, (_, text) in enumerate(texts):
        if at in heads:
            is_own = text == head
        elif is_own and (count := len(_GAP.split(text.strip()))) >= LEAST_TOKENS:
            counts.append(count)
    return wanted if counts and counts.count(wanted) >= IN_TURN * len(counts) else 0


def _edges(
    texts: Sequence[tuple[int, str]], heads: Sequence[int], head: str, second: str = ""
) -> list[tuple[int, int]]:
    """Give where each column of a form begins and ends: apart by what is blank in nearly every line."""
    first, wide = head, max(len(head), len(second))
    pairs = zip(first.ljust(wide), second.ljust(wide), strict=True)
    head = "".join(other if letter == " " else letter for letter, other in pairs)
    tokens = [(found.start(), found.end()) for found in re.finditer(r"\S+(?: \S+)*", head)]
    below, is_own = [head], False
    for at, (_, text) in enumerate(texts):
        if at in heads:
            is_own = text == first
        elif is_own and len(_GAP.split(text.strip())) >= max(LEAST_TOKENS, len(tokens) / 2):
            below.append(text)
    last = tokens[-1][0]
    taken = Counter(at for text in below[1:] for at, letter in enumerate(text[:last]) if letter != " ")
    shifted = max((1.0 - BLANK_SHARE) * len(below), min(FEW_SHIFTED * len(below), MOST_SHIFTED))
    is_blank = [taken[at] <= shifted and head[at] == " " for at in range(last)]
    runs, start = [], None
    for at in range(last):
        if not is_blank[at] and start is None:
            start = at
        elif is_blank[at] and start is not None:
            runs.append((start, at))
            start = None
    runs += [(start, last)] if start is not None else []
    filled = [
        run
        for run in runs
        if sum(bool(text[slice(*run)].strip()) for text in below[1:]) > HALF * (len(below) - 1)
    ]
    tokens = [word for token in tokens for word in _words_over(token, filled, head)]
    merged: list[tuple[int, int]] = []
    for low, high in runs:
        same = merged and any(begin < merged[-1][1] and low < end for begin, end in tokens)
        merged = [*merged[:-1], (merged[-1][0], high)] if same else [*merged, (low, high)]
    return [*_headed(merged, tokens), *_last_columns(below[1:], last)]


def _last_columns(rows: Sequence[str], last: int) -> list[tuple[int, int]]:
    """Give the last headed column, and beside it one of remarks where several rows have words there."""
    beside = []
    for text in rows:
        parted = re.match(r"\s*\S+(?: \S+)*?\s{2,}(?=[^\W\d_])", text[last:])
        beside += [last + parted.end()] if parted else []
    if len(beside) < LEAST_REMARKS:
        return [(last, 10_000)]
    return [(last, min(beside)), (min(beside), 10_000)]


def _words_over(token: tuple[int, int], runs: Sequence[tuple[int, int]], head: str) -> list[tuple[int, int]]:
    """Part headings that stand one blank apart where each has a column of its own below it."""
    low, high = token
    words = [(low + found.start(), low + found.end()) for found in re.finditer(r"\S+", head[low:high])]
    over = [[run for run in runs if run[0] < end and begin < run[1]] for begin, end in words]
    has_own = (
        len(words) > 1 and all(len(own) == 1 for own in over) and len({own[0] for own in over}) == len(words)
    )
    return words if has_own else [token]


def _headed(runs: Sequence[tuple[int, int]], tokens: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Join to its neighbour a piece one blank off without a heading: ``9:12`` before ``a.m.`` below TIME."""
    found: list[tuple[int, int]] = []
    is_alone = False
    for low, high in runs:
        has_heading = any(begin < high and low < end for begin, end in tokens)
        if found and low - found[-1][1] <= 1 and (is_alone or not has_heading):
            found[-1] = (found[-1][0], high)
        else:
            found.append((low, high))
        is_alone = not has_heading
    return found


def _is_row(text: str, edges: Sequence[tuple[int, int]]) -> bool:
    """Tell whether a line stands in the columns of a form: several numbers, each in a column of its own."""
    if len(_GAP.split(text.strip())) < LEAST_TOKENS:
        return False
    filled = [cell for cell in _sliced(text, edges) if cell]
    numbers = sum(number_of(cell) is not None or looks(cell).is_clock for cell in filled[:-1])
    return numbers >= max(LEAST_TOKENS, 0.5 * (len(filled) - 1))


def _sliced(text: str, edges: Sequence[tuple[int, int]]) -> list[str]:
    """Give the words of a line to the columns in which they mostly stand."""
    cells: list[list[str]] = [[] for _ in edges]
    for word in re.finditer(r"\S+", text):
        overlap = [min(high, word.end()) - max(low, word.start()) for low, high in edges]
        cells[max(range(len(edges)), key=lambda at: overlap[at])].append(word[0])
    return [" ".join(words) for words in cells]


def _below_each(lines: list[Line], meaning: Meaning) -> list[Line]:
    """Join to each row the labelled values on the line below it, where most rows have such a line."""
    width = max(len(cells) for _, cells in lines)
    pairs = {at: found for at, (_, cells) in enumerate(lines) if (found := _pairs(cells, meaning))}
    rows = [
        at for at, (_, cells) in enumerate(lines) if at not in pairs and sum(map(bool, cells)) > LEAST_TOKENS
    ]
    above = {at: max((row for row in rows if row < at), default=-1) for at in pairs}
    joined = {at: row for at, row in above.items() if row == at - 1}
    if len(joined) < MOSTLY * len(rows):
        return [(number, [*cells, *[""] * (width - len(cells))]) for number, cells in lines]
    labels = list(dict.fromkeys(label for at in joined for label, _ in pairs[at]))
    told = {row: dict(pairs[at]) for at, row in joined.items()}
    out: list[Line] = []
    for at, (number, cells) in enumerate(lines):
        whole = [*cells, *[""] * (width - len(cells))]
        if at in joined:
            continue
        is_head = is_heading([cell for cell in cells if cell], meaning) > 0 and at not in told
        out.append(
            (
                number,
                [*whole, *(labels if is_head else [told.get(at, {}).get(label, "") for label in labels])],
            )
        )
    return out


def _pairs(cells: Sequence[str], meaning: Meaning) -> list[tuple[str, str]]:
    """Give label and number of every cell of a line; empty unless all are such, and there are several."""
    found = []
    whole = "  ".join(filter(None, cells))
    for cell in _PAIR.findall(whole) if _PAIR.sub("", whole).strip() == "" else ("",):
        parted = re.match(r"^([^\W\d_].*?)\s*[:=]?\s+([-+]?[.\d].*)$", cell)
        if parted is None or meaning(parted[1])[1] < SAYS_IT or number_of(parted[2].split(" ")[0]) is None:
            return []
        found.append((parted[1], parted[2]))
    return found if len(found) >= 2 else []


# --- label and value


def _labelled(texts: Sequence[tuple[int, str]], meaning: Meaning) -> list[Line] | None:
    filled = [(number, text) for number, text in texts if text.strip()]
    parted = [(number, text, list(_labels(text, meaning))) for number, text in texts]
    said = [[meaning(label) for label, _ in found] for _, _, found in parted]
    names = {name for each in said for name, likeness in each if likeness >= SAYS_IT}
    known = sum(any(likeness >= SAYS_IT for _, likeness in each) for each in said)
    if len(names) < LEAST_LABELS or known < MOSTLY * len(filled) or _has_many(parted):
        return None
    lines: list[Line] = []
    for number, text, found in parted:
        pairs = [pair for label, value in found for pair in _told_apart(label, value, meaning)]
        lines += [(number, [label, value]) for label, value in pairs] or [(number, [text.strip(), ""])]
    return lines


def _told_apart(label: str, value: str, meaning: Meaning) -> list[tuple[str, str]]:
    """Give the settings or the air of one label each with its own: ``Setup: 3 turns, 4 g``."""
    told = told_by([value], meaning)
    return (
        [(SPOKEN.get(name, name), text) for name, text in told.items()] if len(told) > 1 else [(label, value)]
    )


def _has_many(parted: Sequence[tuple[int, str, list[tuple[str, str]]]]) -> bool:
    """Tell whether each line names nearly everything, so that it is a row by itself."""
    counts = [len(found) for _, _, found in parted if found]
    return sum(count >= 4 for count in counts) > MOSTLY * len(counts)


def _with_value(pieces: Sequence[str], meaning: Meaning) -> list[str]:
    """Put a label and the value far behind it in one piece again: ``R/T           .015``."""
    filled = [piece for piece in pieces if piece]
    if len(filled) != 2 or _LABELLED.match(filled[0]):
        return filled
    name, likeness = meaning(filled[0])
    is_apart = likeness >= SAYS_IT and (_VALUE.match(filled[1]) or name in _IN_WORDS)
    return ["  ".join(filled)] if is_apart else filled


def _labels(text: str, meaning: Meaning) -> Iterator[tuple[str, str]]:
    """Give the labels of a line with their values; a date that fills a line is one."""
    for piece in _with_value(re.split(r"\s{3,}|\s+[|;]\s+|\t", text.strip()), meaning):
        date, rest = date_in(piece)
        clock = IN_TEXT.search(rest)
        if date and re.fullmatch(
            r"[\s|,@-]*(?:at\s*)?(?:[^\W\d_]{2,9}[.,]*)?[\s|,@-]*", IN_TEXT.sub("", rest)
        ):
            yield "date", date
            if clock:
                yield "time", clock[1].strip()
            continue
        if IN_TEXT.fullmatch(piece.strip()):
            yield "time", piece.strip()
            continue
        found = _LABELLED.match(piece)
        if found and (meaning(found["label"])[1] >= SAYS_IT or _SURELY.search(piece)):
            yield found["label"].strip(), found["value"].strip()
            continue
        number = number_of(piece)
        if number and (own := by_unit(number[1])):
            yield own, piece
            continue
        words = piece.split(" ")
        for one, two in pairwise(range(len(words) + 1)):
            label, value = " ".join(words[: one + 1]), " ".join(words[two:])
            is_short = len(words) - two <= MOST_WORDS
            if (
                value
                and is_short
                and _VALUE.match(value)
                and not _VALUE.match(label)
                and meaning(label)[1] >= SAYS_IT
            ):
                yield label, value
                break
