"""A key on the sheet of the runs: what its headings, and the codes below one of them, stand for."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.recognise.layout import SAYS_IT, Line, Meaning, Part

MOST_CELLS, LONGEST_CODE, MOST_LINES = 3, 8, 40
"""A line of a key fills so many cells at most; a code is so long; it stands among so many lines."""
LEAST_HEADINGS, LEAST_CODES, NEARLY_ALL, HALF = 4, 2, 0.9, 0.5
"""So many cells are a line of headings; so many codes are a key, and explain so much of a column, unless
so many of those in it tell how a run went."""
_CODE = r"[^\s=,;:()]{1,12}(?: [^\s=,;:()]{1,12})?"
_PAIR = re.compile(rf"(?:^|[,;、。]\s*|\.\s+|\s{{2,}})(?P<code>{_CODE})\s*=\s*")
_BESIDE = re.compile(r"[(（](?P<code>[^\s()（）]{1,4})[\s:=]+(?P<meant>[^()（）]+)[)）]")
_SENTENCE = re.compile(r"\.\s+(?=[\W\d_]|[^\W\d_a-z])")
_TITLE = re.compile(
    r"^(?P<code>[^\s:：(（=]{1,12})\s*(?:[(（](?P<aside>[^)）]*)[)）])?\s*[:：]?\s*(?P<rest>.*)$"
)
_BARE_PAIR = re.compile(r"(?P<code>[^\W_a-zà-ÿ]{1,3})\s+(?P<meant>[^\W\d_].*)")
"""A code in capitals, or a number, before what it stands for, with nothing between: ``A fine, S spun``."""
_IN_BRACKETS = re.compile(r"\s*\([^()]*\)")
_PARTS = re.compile(r"^(?P<head>[^=:]{1,20}?)\s*(?:[=:]|\s[-–—])\s*(?P<list>\S.*)$")
_ANOTHER_LIST = re.compile(r"[;.]\s+(?=[^=;]{1,20}\s=\s)")
_BETWEEN = tuple(
    (re.compile(mark), least)
    for mark, least in (
        (r"\s*\|\s*", 2), (r"\s+/\s+", 2), (r"\s+[-–—]\s+", 2), (r"\s*;\s*", 2), (r"/", 3), (r",\s+", 3),
    )
)  # fmt: skip
"""What parts the names of a list, the surest first, and so many names are one."""
_NUMBERED = re.compile(
    r"(?:^|[\s.;(])(?P<name>[^\W\d_]{1,12})\s*[:=]?\s*(?P<list>(?:(?<!\d)\d\s*[=:-]?\s*[^\W\d_][^\d]*){3,})$"
)
"""Codes that are figures, behind the name of their column: ``code: 1 clean 2 spun 3 bogged``."""
_LINE = re.compile(r"^(?P<code>[^\s=:]{1,8})\s*[=:–-]\s+(?P<meant>\S.*)$")


@dataclass(slots=True)
class _Key:
    """Codes with what they stand for.

    Attributes
    ----------
    name
        Heading of their column; empty for codes that no line names together.
    says
        What the line that names it says the column holds; empty where it says nothing.
    meant
        Code -> words.
    rows
        Numbers of the rows it stands on.
    """

    name: str
    says: str = ""
    meant: dict[str, str] = field(default_factory=dict)
    rows: set[int] = field(default_factory=set)


def keys_read(lines: Sequence[Line], meaning: Meaning) -> list[Line]:
    """Put what a key on the sheet explains in place of its codes.

    Parameters
    ----------
    lines
        Every row of the sheet.
    meaning
        The likeliest meaning of a heading.

    Returns
    -------
    list of tuple
        The same rows, those of a key that was used blank: ``T1 = 60 ft`` heads a column, and ``B`` below
        ``Cl`` is ``4800 rpm / 6 turns / 1.4 g`` where the key says so.
    """
    place = next((at for at, (_, cells) in enumerate(lines) if _is_headed(cells)), None)
    if place is None:
        return list(lines)
    heads = lines[place][1]
    keys = _keys(lines, set(filter(None, heads)))
    found = [(number, list(cells)) for number, cells in lines]
    used = _name_headings(found[place][1], keys, meaning)
    own = {row for key in keys for row in key.rows}
    for at, head in enumerate(heads):
        column = [
            (cells, cells[at]) for number, cells in found[place + 1 :] if cells[at] and number not in own
        ]
        key = _of_column(head, {text for _, text in column}, keys)
        if key is None:
            continue
        used |= key.rows
        for cells, text in column:
            cells[at] = key.meant.get(text, text)
        if key.says and meaning(heads[at])[1] < SAYS_IT:
            found[place][1][at] = key.says
    return [(number, [""] * len(cells) if number in used else cells) for number, cells in found]


def _is_headed(cells: Sequence[str]) -> bool:
    filled = [text for text in cells if text]
    worded = sum(re.search(r"[^\W\d_]", text) is not None for text in filled)
    is_plain = all(len(text) <= 40 and not re.search(r"\d[.,]\d", text) for text in filled)
    return len(filled) >= LEAST_HEADINGS and is_plain and worded > HALF * len(filled)


def with_lists(part: Part, lines: Sequence[Line], meaning: Meaning) -> Part:
    """Put what lines of words say stands in the cells of one column in turn behind its heading.

    ``Setup = revs/turns/grams`` names the parts of the cells below ``Setup``; one of them at least is known.
    """
    heads = [heading.text.casefold() for heading in part.headings]
    found = {}
    for _, cells in lines[:MOST_LINES]:
        whole = ", ".join(text for text in cells if text)
        for clause in _ANOTHER_LIST.split(whole):
            said = _PARTS.match(clause.strip())
            if said is None or heads.count(said["head"].casefold()) != 1 or "=" in said["list"]:
                continue
            if any(meaning(name)[1] >= SAYS_IT for name in _listed(said["list"])):
                found[said["head"].casefold()] = said["list"]
    headings = [
        replace(own, text=f"{own.text} ({found[own.text.casefold()]})")
        if own.text.casefold() in found
        else own
        for own in part.headings
    ]
    return replace(part, headings=headings) if found else part


def _listed(text: str) -> list[str]:
    """Give the names that a text lists; none where it is one: ``grams/lever``."""
    for mark, least in _BETWEEN:
        if len(names := mark.split(text)) >= least:
            return names
    return []


def _keys(lines: Sequence[Line], heads: set[str]) -> list[_Key]:
    """Gather the keys of a sheet: codes told in one line, or line by line below the name of a column."""
    keys: list[_Key] = []
    own: _Key | None = None
    loose = _Key("")
    for number, cells in lines:
        filled = [text for text in cells if text]
        if not filled or len(filled) > MOST_CELLS:
            own = own if not filled else None
            continue
        whole = " ".join(filled)
        listed, title = _NUMBERED.search(whole), _TITLE.match(whole)
        if told := _heads_told(whole, heads):
            loose.meant |= told
            loose.rows.add(number)
        elif listed is not None and listed["name"] in heads:
            keys.append(_Key(listed["name"], "", _numbered(listed["list"]), {number}))
        elif title is not None and title["code"] in heads and not title["rest"].startswith("="):
            pairs = _pairs(title["rest"]) or _bare_pairs(title["rest"])
            says = (title["rest"] if not pairs else "") or title["aside"] or ""
            own = _Key(title["code"], says.strip(), pairs, {number})
            keys.append(own)
        elif pairs := _of_codes(_pairs(whole), heads):
            loose.meant |= pairs
            loose.rows.add(number)
        elif own is not None and (entry := _entry(filled)) is not None and entry[0] not in heads:
            own.meant[entry[0]] = entry[1]
            own.rows.add(number)
        elif pairs := _of_codes(_pairs(whole, least=1), heads):
            loose.meant |= pairs
            loose.rows.add(number)
    return [key for key in (*keys, loose) if len(key.meant) >= LEAST_CODES]


def _of_codes(pairs: Mapping[str, str], heads: Iterable[str]) -> dict[str, str]:
    """Leave out headings of cells that hold a list: see :func:`with_lists`."""
    return {code: meant for code, meant in pairs.items() if not (code in heads and _listed(meant))}


def _heads_told(text: str, heads: Iterable[str]) -> dict[str, str]:
    """Read a line that tells what headings stand for, one behind the other: ``V speed, M launch rpm``."""
    pieces = re.split(r"[,;]\s+", _IN_BRACKETS.sub("", text).strip(" ."))
    found = [piece.partition(" ")[::2] for piece in pieces]
    told = {code: meant.partition(":")[0].strip() for code, meant in found if code in heads}
    is_key = len(told) == len(pieces) >= LEAST_CODES and all(told.values())
    return told if is_key else {}


def _numbered(text: str) -> dict[str, str]:
    """Read codes that are figures: ``1 clean 2 spun``."""
    return {code: words.strip(" ,;.") for code, words in re.findall(r"(\d)\s*[=:-]?\s*([^\d]+)", text)}


def _entry(filled: Sequence[str]) -> tuple[str, str] | None:
    """Read a line of a key below its title: a code and what it stands for."""
    if len(filled) == 1:
        found = _LINE.match(filled[0])
        return (found["code"], found["meant"].strip()) if found else None
    code, meant = filled[0].rstrip(" =:"), " ".join(filled[1:]).lstrip("=: ").strip()
    return (code, meant) if len(code) <= LONGEST_CODE and re.search(r"[^\W\d_]", meant) else None


def _pairs(text: str, least: int = LEAST_CODES) -> dict[str, str]:
    """Read codes explained one behind the other: ``S = spun, B = bogged``; those in brackets too."""
    parts = list(_PAIR.finditer(text))
    if len(parts) < least:
        return {}
    ends = [part.start() for part in parts[1:]] + [len(text)]
    found: dict[str, str] = {}
    for part, end in zip(parts, ends, strict=True):
        meant = _SENTENCE.split(text[part.end() : end])[0].strip(" ,;.、。")
        if beside := _BESIDE.search(meant):
            found[beside["code"]] = beside["meant"].strip()
            meant = meant[: beside.start()].strip()
        if meant:
            found[part["code"]] = meant
    return found


def _bare_pairs(text: str) -> dict[str, str]:
    """Read codes behind the name of their column, each before its words; none where one piece is odd."""
    found = [_BARE_PAIR.fullmatch(piece.strip(" .")) for piece in re.split(r"[,;]\s+", text)]
    pairs = {each["code"]: each["meant"] for each in found if each}
    return pairs if len(pairs) == len(found) >= LEAST_CODES else {}


def _name_headings(heads: list[str], keys: Sequence[_Key], meaning: Meaning) -> set[int]:
    """Put what a key says for headings in their place; gives the rows of the keys that do."""
    used: set[int] = set()
    for key in keys:
        known = [at for at, text in enumerate(heads) if text in key.meant and not key.name]
        if len(known) < LEAST_CODES:
            continue
        used |= key.rows
        is_whole = len(known) >= LEAST_HEADINGS
        for at in known:
            own, said = meaning(heads[at]), meaning(key.meant[heads[at]])
            if own[1] < SAYS_IT or (said[1] >= SAYS_IT and (is_whole or said[0] == own[0])):
                heads[at] = key.meant[heads[at]]
    return used


def _of_column(head: str, texts: set[str], keys: Sequence[_Key]) -> _Key | None:
    """Choose the key of a column: the one of its name, else the one that explains all that stands in it."""
    named = next((key for key in keys if key.name and key.name == head), None)
    known = {key.name for key in keys if key.name}
    others = [
        key
        for key in keys
        if not key.name and head not in known and len(texts & set(key.meant)) >= LEAST_CODES
    ]
    for key in [named] if named else others:
        known = texts & set(key.meant)
        of_runs = [code for code in known if read_outcome(key.meant[code], None) is not None]
        if texts and (
            len(known) >= NEARLY_ALL * len(texts) or len(of_runs) >= max(LEAST_CODES, HALF * len(known))
        ):
            return key
    return None
