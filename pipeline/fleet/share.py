"""A shop's part of a fleet as a file of sums and counts: no runs, no names, no times or settings.

What is in it: for every car with enough runs, how settings, conditions and times varied *together* about the
car's own mean, and how many runs and events that rests on. The means themselves are swept out before
anything is written, so neither a time nor a setting nor a date nor a place can be read from it.

What it cannot promise: sums of a few runs say much about those runs. Cars below ``LEAST_RUNS`` runs or
``LEAST_EVENTS`` events are left out; who knows nearly all of a car's runs could still work out the rest;
and a car could be recognised by someone who holds the same car's sums already. It is pooling without
handing over logbooks, not a proof of secrecy.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.errors import RequestError, SheetError, ThinData
from pipeline.files.whole import write_whole
from pipeline.fleet import basis as fb
from pipeline.fleet.basis import Array
from pipeline.fleet.passes import LAM_LADDER
from pipeline.fleet.sums import FleetSums
from pipeline.season.results import RESPONSES, Response

SHARE_VERSION = 1
KIND = "slipledger fleet sums"

LEAST_RUNS = 12
LEAST_EVENTS = 2
"""A car's sums are 66 numbers; twelve runs have 72 values, so no run follows from them. [judgement]"""

_UPPER = np.triu_indices(fb.SIZE + 1)


def write_share(path: Path, sums: FleetSums, *, clutch_type: str, response: Response) -> tuple[int, int]:
    """Write the sums of one clutch type's cars, in an order that says nothing.

    Parameters
    ----------
    path
        A ``.json`` file to be made or replaced.
    sums
        At the whole ladder of ratios (``sum_fleet(..., ladder=LAM_LADDER)``).
    clutch_type, response
        What they are of.

    Returns
    -------
    cars written, cars left out for having too few runs

    Raises
    ------
    RequestError
        When the sums were made at other ratios than the ladder's.
    ThinData
        When no car has enough runs to be shared.
    StoreError
        When the file cannot be written.
    """
    if tuple(sums.lam) != LAM_LADDER:
        given = ", ".join(f"{ratio:g}" for ratio in sums.lam)
        needed = ", ".join(f"{ratio:g}" for ratio in LAM_LADDER)
        raise RequestError(
            f"The sums to share are at ratios {given}.", f"Sum up with the ladder {needed}, all of it."
        )
    enough = (sums.runs >= LEAST_RUNS) & (sums.events >= LEAST_EVENTS)
    if not enough.any():
        raise ThinData(
            f"No car of {clutch_type or 'this kind'} has {LEAST_RUNS} runs at {LEAST_EVENTS} events; the "
            "sums of fewer would say too much about single runs, so nothing is shared.",
            "Share again when there are more runs.",
        )
    kept = sums.of(enough)
    kept = kept.of(np.argsort(kept.swept[0, :, -1, -1], kind="stable"))
    document = {
        "kind": KIND,
        "version": SHARE_VERSION,
        "basis": fb.BASIS_VERSION,
        "coefficients": list(fb.NAMES),
        "clutch_type": clutch_type,
        "response": response,
        "robust": kept.robust,
        "ratios": list(LAM_LADDER),
        "cars": [_car(kept, k) for k in range(kept.cars)],
    }
    text = json.dumps(document, allow_nan=False) + "\n"
    write_whole(path, text.encode("utf-8"), "Name another place with --share-out.")
    return kept.cars, int((~enough).sum())


def _car(sums: FleetSums, k: int) -> dict[str, Any]:
    weighing = sums.weighing[k]
    return {
        "runs": int(sums.runs[k]),
        "events": int(sums.events[k]),
        "weight": float(weighing[0]),
        "weighted_squares": float(weighing[1]),
        "weight_slope": float(weighing[2]),
        "between_events": sums.between[k].tolist(),
        "log_det": sums.log_det[:, k].tolist(),
        "level_weight": sums.level_weight[:, k].tolist(),
        "products": [sums.swept[i, k][_UPPER].tolist() for i in range(sums.lam.size)],
    }


def read_share(path: Path, *, label: str = "shared") -> tuple[str, Response, FleetSums]:
    """Read the sums another shop shared.

    Parameters
    ----------
    path
        A file made by :func:`write_share`.
    label
        Names the cars: ``shared car 1`` and so on.

    Returns
    -------
    clutch type, response, sums

    Raises
    ------
    SheetError
        When it is no such file, is damaged, or is of another version or basis.
    """
    document = _document(path)
    try:
        return document["clutch_type"], document["response"], _sums(document, label)
    except (KeyError, TypeError, ValueError) as damaged:
        raise SheetError(
            f"{path} is damaged: {type(damaged).__name__} at {damaged}.", "Ask for the file again."
        ) from damaged


def _document(path: Path) -> dict[str, Any]:
    try:
        document = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError) as failed:
        raise SheetError(f"{path} cannot be read as shared sums ({failed}).", "Ask for it again.") from failed
    if not isinstance(document, dict) or document.get("kind") != KIND:
        raise SheetError(f"{path} is not a file of shared sums.", "Give one made with --share-out.")
    for key, ours in (("version", SHARE_VERSION), ("basis", fb.BASIS_VERSION), ("ratios", list(LAM_LADDER))):
        if document.get(key) != ours:
            raise SheetError(
                f"{path} has {key} {document.get(key)!r}; this slipledger pools {ours!r} only.",
                "Both shops need the same version of slipledger.",
            )
    if document.get("response") not in RESPONSES:
        raise SheetError(
            f"{path} is of {document.get('response')!r}, no time known here.", "Ask for it again."
        )
    return document


def _sums(document: dict[str, Any], label: str) -> FleetSums:
    cars = document["cars"]
    products = np.array([car["products"] for car in cars], dtype=np.float64).transpose(1, 0, 2)
    swept = np.zeros((*products.shape[:2], fb.SIZE + 1, fb.SIZE + 1))
    swept[:, :, _UPPER[0], _UPPER[1]] = products
    swept[:, :, _UPPER[1], _UPPER[0]] = products
    sums = FleetSums(
        car=np.array([f"{label} car {number}" for number in range(1, len(cars) + 1)], dtype=object),
        runs=_column(cars, "runs"),
        events=_column(cars, "events"),
        lam=np.array(LAM_LADDER),
        log_det=np.array([car["log_det"] for car in cars], dtype=np.float64).T,
        level_weight=np.array([car["level_weight"] for car in cars], dtype=np.float64).T,
        swept=swept,
        centre=np.full((len(cars), 6), np.nan),
        digits_lost=np.zeros(len(cars)),  # would tell how far a car's settings lie from the reference
        between=np.array([car["between_events"] for car in cars], dtype=np.float64),
        weighing=np.column_stack(
            [_column(cars, name) for name in ("weight", "weighted_squares", "weight_slope")]
        ),
        robust=bool(document["robust"]),
    )
    _check(sums)
    return sums


def _column(cars: list[dict[str, Any]], name: str) -> Array:
    return np.array([car[name] for car in cars], dtype=np.float64)


def _check(sums: FleetSums) -> None:
    """Refuse sums that no runs could have."""
    numbers = (sums.runs, sums.events, sums.log_det, sums.level_weight, sums.swept, sums.between)
    if not all(np.isfinite(values).all() for values in numbers):
        raise ValueError("a number that is not finite")
    if (sums.runs < LEAST_RUNS).any() or (sums.events < LEAST_EVENTS).any():
        raise ValueError("a car with too few runs")
    diagonal = np.einsum("lkii->lki", sums.swept)
    smallest = np.linalg.eigvalsh(sums.swept)[..., 0]
    if (smallest < -1e-6 * diagonal.max(-1)).any():
        raise ValueError("cross products that no runs have")
