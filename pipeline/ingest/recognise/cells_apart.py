"""Columns whose cells hold several values: a time with its speed, or the whole slip in one cell."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence

from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.headed import Heading
from pipeline.ingest.recognise.layout import SAYS_IT, Meaning, Part
from pipeline.ingest.recognise.profile import is_date
from pipeline.ingest.recognise.told import told_by
from pipeline.ingest.recognise.vocabulary import NUMBERED, SETTINGS, SPOKEN
from pipeline.ingest.spellings import AT_ABROAD, LANE_WORDS
from pipeline.ingest.values import is_nothing

_PAIR = re.compile(
    r"^\s*([-+]?\d*[.,]?\d+)\s*(?:s|sec)?\s*"
    rf"(?:@|at\b|\b(?:{AT_ABROAD})\b|/|\||;|-|–|,\s)\s*([-+]?\d*[.,]?\d+)\s*(?:mph|km/?[htu])?\s*$",
    re.IGNORECASE,
)
_ODD_PAIR = re.compile(r"^\s*([\w.,;:]*\d[\w.,;:]*)\s*@\s*([\w.,;:]*\d[\w.,;:]*)\s*$")
"""The same with a letter or another mark in a number: each part is asked about by itself."""
_IS_METRIC = re.compile(r"(?i)\bkm\s*/?\s*[hu]\b|\bkph\b")
_BETWEEN = re.compile(r"\s*[@/|;:]\s*|\s+[-–—]+\s+|,\s+|\s+")
_LISTS = tuple(
    re.compile(rf"{between}|\s*@\s*(?=mph|speed|km)|(?<=\d)\s*/\s*(?=mph|speed)")
    for between in (r"\s*[,;|]\s*", r"\s+[-–—/]+\s+", r"\s{2,}", r"[-–—/]", r"\s+")
)
_BRACKETED = re.compile(r"\s*[(\[]\s*(\d+(?:[.,]\d+)?|\?)\s*[)\]]")
_SPEED_BEHIND = re.compile(r"(?i)\s*[(\[]\s*(mph|speed|km/?[htu])\s*[)\]](?=\s*(?:[-–—/,;|]|$))")
"""A speed in brackets behind its time, and the same in the heading of such cells."""
_NAMED = re.compile(r"\s*[,;&+]\s*|\s+[/–—-]\s+")
_EITHER = re.compile(r"(?<=\w)\s+(?:[^\W\d_]{1,8}/[^\W\d_]{1,8}|[^\W\d_]\s?[-–]\s?[^\W\d_])$")
"""Both words of a choice behind a name: ``lane L/R``, ``side L-R``."""
LEAST_CHANGED = 2
"""So many settings stand in a column of what was changed."""
_COMMA = re.compile(r"(?<=\d),(?=\d{1,2}(?!\d))")
"""A decimal comma among words, whatever the numbers of the sheet have."""
_IN_WORDS = frozenset({"venue", "lane", "event", "round", "car", "driver"})
LEAST_VALUES, MOSTLY, FAR_APART = 4, 0.6, 4.0
"""A slip in one cell has so many numbers, in so many of the cells, the largest so many times the smallest."""
LEAST_LISTED = 3
"""Where the heading lists as many, so few are enough."""


def lists_apart(part: Part, meaning: Meaning) -> Part:
    """Part columns whose cells hold a whole slip, such as ``.063 - 1.396 - 3.969 - 6.145@111.8``.

    Parameters
    ----------
    part
        A table.
    meaning
        The likeliest meaning of a heading; what is measured screw by screw stays one column.

    Returns
    -------
    Part
        With a column a number, headed by what the old heading lists in the same order, as far as it does.
    """
    counts = [_values_a_cell(part, at, meaning) for at in range(len(part.headings))]
    if not any(counts):
        return part
    headings = {at: _listed(part.headings[at], count) for at, count in enumerate(counts) if count}

    def slip(at: int, text: str) -> list[str]:
        values = _values(text)
        return values if 0 < len(values) <= counts[at] else _odd_values(text, counts[at])

    return _parted(part, headings, slip)


def _parted(
    part: Part, headings: Mapping[int, list[Heading]], pieces: Callable[[int, str], list[str]]
) -> Part:
    """Put several columns in place of one, where there are headings for them.

    ``pieces`` gives those of a cell; one with none, or with too many, stays whole in the first column.
    """
    lines = []
    for place, (number, cells) in enumerate(part.lines):
        out: list[str] = []
        for at, text in enumerate(cells):
            count = len(headings.get(at, ())) or 1
            values = pieces(at, text) if at in headings and place not in part.at else []
            own = values if 0 < len(values) <= count else [text]
            out += [*own, *[""] * (count - len(own))]
        lines.append((number, out))
    whole = [own for at, heading in enumerate(part.headings) for own in headings.get(at, [heading])]
    return Part(lines, part.at, whole, part.first)


def names_apart(part: Part, meaning: Meaning) -> Part:
    """Part columns whose heading names two or three things in words, each cell as many: ``Strip, lane``."""
    named = {at: own for at in range(len(part.headings)) if (own := _named(part, at, meaning))}
    if not named:
        return part

    def names(at: int, text: str) -> list[str]:
        found = _words_apart(text, len(named[at]))
        return found if len(found) == len(named[at]) else []

    return _parted(part, {at: [Heading(name, name) for name in own] for at, own in named.items()}, names)


def _named(part: Part, at: int, meaning: Meaning) -> list[str]:
    """Give the things that a heading names one by one where most cells are parted likewise; none else."""
    names = [_EITHER.sub("", name) for name in _NAMED.split(part.headings[at].text.strip())]
    meant = {meaning(name)[0] for name in names if meaning(name)[1] >= SAYS_IT}
    if meant == {"venue"} and _end_in_lanes([cells[at] for _, cells in part.body]):
        return [next(name for name in names if meaning(name)[1] >= SAYS_IT), SPOKEN["lane"]]
    if not 1 < len(names) <= LEAST_LISTED or len(meant) < len(names) or meant.isdisjoint(_IN_WORDS):
        return []
    texts = [cells[at] for _, cells in part.body if not is_nothing(cells[at])]
    alike = sum(len(_words_apart(text, len(names))) == len(names) for text in texts)
    return names if texts and alike >= MOSTLY * len(texts) else []


def _end_in_lanes(texts: Sequence[str]) -> bool:
    """Tell whether a word for a lane stands last in most cells, and both lanes come: ``Quarry R``."""
    ends = [_words_apart(text, 2)[1:] for text in texts if not is_nothing(text)]
    lanes = [LANE_WORDS.get(folded(own[0])) for own in ends if own and not own[0].isdigit()]
    return {"left", "right"} <= set(lanes) and len(lanes) - lanes.count(None) > MOSTLY * len(ends)


def _words_apart(text: str, count: int) -> list[str]:
    """Part a cell at its marks, or, where it has none, before a word for a lane at its end: ``Quarry R``."""
    found = _NAMED.split(text.strip())
    if len(found) == 1 and count == 2:
        before, _, last = text.strip().rpartition(" ")
        return [before, last] if before and folded(last) in LANE_WORDS else found
    return found


def told_apart(part: Part, meaning: Meaning) -> Part:
    """Part columns whose cells tell several settings, or the air, in a few words: ``3.25t 2.5g 6200``.

    Parameters
    ----------
    part
        A table.
    meaning
        The likeliest meaning of words beside a number.

    Returns
    -------
    Part
        With a column for each thing told, headed as the dictionary has it.
    """
    told = {at: found for at in range(len(part.headings)) if (found := _told(part, at, meaning))}
    if not told:
        return part
    named = {
        at: list(dict.fromkeys(name for cell in found.values() for name in cell))
        for at, found in told.items()
    }
    headings = {at: [Heading(SPOKEN[name], SPOKEN[name]) for name in own] for at, own in named.items()}

    def values(at: int, text: str) -> list[str]:
        return [told[at][text].get(name, "") for name in named[at]] if text in told[at] else []

    return _parted(part, headings, values)


def _told(part: Part, at: int, meaning: Meaning) -> dict[str, dict[str, str]]:
    """Give what the cells of a column tell, each text once; empty when it is no such column."""
    heading = part.headings[at].text
    name, likeness = meaning(heading)
    if not heading or (name in NUMBERED and likeness >= SAYS_IT):
        return {}
    texts = [cells[at] for _, cells in part.body if not is_nothing(cells[at])]
    found = {text: told_by([text], meaning) for text in dict.fromkeys(texts)}
    several = [text for text in texts if len(found[text].keys() - {"time", "pressure_kind"}) >= 2]
    if not texts or (
        len(several) < MOSTLY * len(texts)
        and not _are_changes([found[text] for text in texts])
        and (likeness >= SAYS_IT or not all(_is_named(text, found[text]) for text in texts))
    ):
        return {}
    plain = {
        text: {name: _COMMA.sub(".", own) for name, own in cell.items() if name != "time"}
        for text, cell in found.items()
    }
    return {text: own for text, cell in plain.items() if (own := cell or _in_the_usual_order(text, plain))}


def _is_named(text: str, told: Mapping[str, str]) -> bool:
    """Tell whether a cell names a setting before its number, as on a short tab where one alone changed."""
    return bool(set(told) & {*SETTINGS}) and re.match(r"\W*[^\W\d_]{2}", text) is not None


def _are_changes(told: Sequence[Mapping[str, str]]) -> bool:
    """Tell whether the cells of a column each tell a setting that was changed, not all the same one."""
    of_settings = [cell for cell in told if cell and set(cell) <= {*SETTINGS, "time"}]
    names = {name for cell in of_settings for name in cell} - {"time"}
    return len(names) >= LEAST_CHANGED and len(of_settings) >= MOSTLY * len(told)


def _in_the_usual_order(text: str, told: Mapping[str, dict[str, str]]) -> dict[str, str]:
    """Give the words of a cell the names that stand in the same places of most others: one of them is odd."""
    orders = Counter(
        tuple(name for name in cell if name != "pressure_kind") for cell in told.values() if cell
    )
    usual = orders.most_common(1)[0][0]
    words = text.split()
    return dict(zip(usual, words, strict=True)) if len(words) == len(usual) else {}


def _values_a_cell(part: Part, at: int, meaning: Meaning) -> int:
    """Give how many numbers most cells of a column hold; 0 when it is no such column."""
    name, likeness = meaning(part.headings[at].text)
    if not part.headings[at].text or (name in NUMBERED and likeness >= SAYS_IT):
        return 0
    texts = [cells[at] for _, cells in part.body if not is_nothing(cells[at])]
    if sum(map(is_date, texts)) > (1.0 - MOSTLY) * len(texts):
        return 0
    listed = {heading.text for heading in _listed(part.headings[at], LEAST_LISTED)}
    least = LEAST_LISTED if len(listed) == LEAST_LISTED else LEAST_VALUES
    found = [values for text in texts if len(values := _values(text)) >= least and _is_spread(values)]
    if not texts or len(found) < MOSTLY * len(texts):
        return 0
    return Counter(map(len, found)).most_common(1)[0][0]


def _values(text: str) -> list[str]:
    """Give the numbers of a cell that holds nothing else; a dash or question mark stands for none."""
    bare = _BRACKETED.sub(r" \1 ", text) if "(" in text or "[" in text else text
    values = [value for value in _BETWEEN.split(bare.strip()) if value]
    if not all(re.fullmatch(r"[-+−]?\d*[.,·]?\d+|[-–—?]", value) for value in values):
        return []
    return ["" if value in "-–—?" else value for value in values]


def _odd_values(text: str, count: int) -> list[str]:
    """Give the pieces of a cell where all but one or two are numbers, and there are as many as elsewhere."""
    values = [value for value in _BETWEEN.split(text.strip()) if value]
    if len(values) != count:
        values = [value.strip() for value in re.split(r"[@/|;]", text) if value.strip()]
    good = sum(re.fullmatch(r"[-+−]?\d*[.,·]?\d+|[-–—]", value) is not None for value in values)
    is_slip = (
        len(values) == count and good >= count - 2 and all(re.search(r"[\d–—-]", value) for value in values)
    )
    return ["" if value in "-–—" else value for value in values] if is_slip else []


def _is_spread(values: Sequence[str]) -> bool:
    plain = (value.replace(",", ".").replace("·", ".").replace("−", "-") for value in values if value)
    sizes = [abs(float(value)) for value in plain]
    return bool(sizes) and max(sizes) > FAR_APART * (
        min(size for size in sizes if size) if any(sizes) else 1.0
    )


def _listed(heading: Heading, count: int) -> list[Heading]:
    """Give the headings that a heading lists; the old one for each when it lists another number of them."""
    whole = _SPEED_BEHIND.sub(r" - \1", heading.text)
    inside = re.search(r"[(\[{](.*)[)\]}]", whole)
    for text in filter(None, (inside and inside[1], whole)):
        for between in _LISTS:
            parts: list[str] = []
            for piece in between.split(text):
                bare = piece.strip()
                is_speed = re.fullmatch(r"(?i)mph|speed|km/?[htu]", bare) is not None
                parts += [f"{parts[-1]} {bare}"] if is_speed and parts else [bare]
            if len(parts) == count and all(parts):
                return [Heading(own, own, heading.unit) for own in parts]
    return [Heading(heading.text, heading.own, heading.unit)] * count


# --- a time and a speed


def pairs_apart(part: Part) -> Part:
    """Part columns whose cells hold a time and a speed, such as ``5.98 @ 115.2``."""
    body = part.body
    headings = {}
    for at, heading in enumerate(part.headings):
        texts = [cells[at] for _, cells in body if not is_nothing(cells[at])]
        pairs = sum(_PAIR.match(text) is not None for text in texts)
        if texts and pairs >= 0.6 * len(texts) and heading.text and _are_time_and_speed(texts):
            bare = re.split(r"(?i)\s*(?:@|/|\bat\b|\band\b|&|\+|,|-)\s*(?=mph|speed|km)", heading.text)[0]
            speed = "km/h" if _IS_METRIC.search(heading.text) else "mph"
            headings[at] = [
                Heading(f"{bare} et", f"{bare} et"),
                Heading(f"{bare} {speed}", f"{bare} {speed}"),
            ]
    return _parted(part, headings, lambda _, text: _pair(text)) if headings else part


def _pair(text: str) -> list[str]:
    found = _PAIR.match(text) or _ODD_PAIR.match(text)
    return [found[1], found[2]] if found else [text, ""]


def _are_time_and_speed(texts: Sequence[str]) -> bool:
    found = [match for text in texts if (match := _PAIR.match(text))]
    firsts = sorted(float(match[1].replace(",", ".")) for match in found)
    seconds = sorted(float(match[2].replace(",", ".")) for match in found)
    return 0.5 < firsts[len(firsts) // 2] < 30 and 40 < seconds[len(seconds) // 2] < 500
