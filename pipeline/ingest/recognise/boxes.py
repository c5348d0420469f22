"""Runs in boxes: a whole slip in one cell of several lines, days down and runs across or the other way."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from pipeline.ingest.recognise.layout import Line
from pipeline.ingest.recognise.profile import is_date

LEAST_BOXES, LEAST_LINES, LEAST_TIMES = 3, 3, 2
MOSTLY = 0.6
"""So many of the cells that are filled in a column of boxes are boxes."""
_TIME = re.compile(r"(?<![\d.,:])\d*[.,]\d{1,3}(?![\d.,:])")
_MIDNIGHT = re.compile(r"(?<=\d)[T ]00:00(?::00)?$")
_BREAK = re.compile(r"[\r\n\v\u2028]+")


def out_of_boxes(lines: Sequence[Line]) -> list[Line]:
    """Give every box a line of its own below the rest of its row, as notes are written; others unchanged.

    Parameters
    ----------
    lines
        Every row of a sheet.

    Returns
    -------
    list of tuple
        One cell a line where the sheet has boxes; since each line has its own number, those below count on.
    """
    boxed = Counter(at for _, cells in lines for at, text in enumerate(cells) if _is_box(text))
    filled = Counter(at for _, cells in lines for at, text in enumerate(cells) if text)
    columns = {at for at, count in boxed.items() if count >= MOSTLY * (filled[at] - 1)}
    if sum(boxed[at] for at in columns) < LEAST_BOXES:
        return list(lines)
    boxes = {number: [at for at in sorted(columns) if _is_box(cells[at])] for number, cells in lines}
    bare = [""] * max(len(cells) for _, cells in lines)
    heads: Sequence[str] = bare
    out: list[Line] = []
    for (number, cells), below in pairwise([*lines, (0, [])]):
        own = boxes[number]
        if boxes.get(below[0]) and not own and sum(map(bool, cells)) > 1:
            heads = cells
            continue
        texts = [
            _rest(heads if own else bare, cells, own),
            *(_in_one_line(heads[at], cells[at]) for at in own),
        ]
        for text in filter(None, texts):
            out.append((max(number, out[-1][0] + 1 if out else 0), [text]))
    return out


def _pieces(text: str) -> list[str]:
    return [piece.strip(" ,;") for piece in _BREAK.split(text) if piece.strip()]


def _is_box(text: str) -> bool:
    if _BREAK.search(text) is None:
        return False
    return len(_pieces(text)) >= LEAST_LINES and len(_TIME.findall(text)) >= LEAST_TIMES


def _rest(heads: Sequence[str], cells: Sequence[str], boxes: Sequence[int]) -> str:
    """Give what stands beside the boxes of a row, each cell behind its heading."""
    named = [
        f"{head} {_MIDNIGHT.sub('', _BREAK.sub(' ', text))}".strip()
        for at, (head, text) in enumerate(zip(heads, cells, strict=True))
        if text and at not in boxes
    ]
    return "; ".join(named)


def _in_one_line(head: str, text: str) -> str:
    """Give a box as one line, behind the day above it where one stands there."""
    return ", ".join([*([_MIDNIGHT.sub("", head)] if is_date(head) else []), *_pieces(text)])
