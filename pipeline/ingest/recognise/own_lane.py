"""Of a sheet that holds both lanes: the runs of the garage's cars are kept, the others counted and named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from pipeline.garage.logbook import Garage
from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.drafts import Draft
from pipeline.ingest.recognise.fill import Row
from pipeline.ingest.recognise.ready import KEYS
from pipeline.ingest.spellings import LANE_WORDS

MOST_NAMED = 4


def leave_other_lanes(draft: Draft, rows: Sequence[Row], garage: Garage) -> str:
    """Keep of one lane of both the rows in which a car of the garage stood; the others become lines of words.

    Parameters
    ----------
    draft
        The table.
    rows
        Changed in place.
    garage
        For the cars that are listed.

    Returns
    -------
    str
        A sentence on the runs left out; empty when there is none.
    """
    if not draft.lane:
        return ""
    listed = {folded(text) for car in garage.cars for text in (car.name, *car.also)}
    has_car = any("car" in row.cells for row in rows)
    others: Counter[str] = Counter()
    for row in rows:
        if not row.cells:
            continue
        is_run = any(row.cells.get(name) for name in KEYS["timeslips"])
        if draft.lane in {"left", "right"}:
            car = row.cells.get("car", "")
            is_other_car = bool(listed) and has_car and folded(car) not in listed
            own_lane = folded(row.cells.get("lane", draft.lane))
            is_other_lane = LANE_WORDS.get(own_lane, own_lane) != draft.lane
            if is_run and is_other_car and not is_other_lane:
                others[car or "no name"] += 1
            is_run = is_run and not is_other_car and not is_other_lane
            row.cells["lane"] = row.typed["lane"] = draft.lane
        if not is_run:
            row.spill = [next(iter(row.typed.values()), "")]
            row.cells, row.typed, row.is_words = {}, {}, True
    if not others:
        return ""
    names = ", ".join(name for name, _ in others.most_common(MOST_NAMED))
    more = ", ..." if len(others) > MOST_NAMED else ""
    count = sum(others.values())
    runs = f"{count} runs of the {draft.lane} lane are" if count > 1 else f"1 run of the {draft.lane} lane is"
    return f"{runs} left out, of cars not in garage.toml: {names}{more}. List a car there to have its runs."
