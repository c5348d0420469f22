"""The warnings that head every answer: what to see to before the next run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import get_args

import polars as pl

from pipeline.decide.holding import Holding, holding_of
from pipeline.decide.limits import Limits, car_limits, screws_apart
from pipeline.garage.parts import Clutch
from pipeline.physics.bench_checks import clearance_too_small
from pipeline.season.car_data import CarData
from pipeline.season.in_force import Doubt, present_settings
from pipeline.season.results import SafetyWarning, WarningKind, Wear


def setting_warnings(
    limits: Limits,
    present: Mapping[str, float],
    holding: Holding | None = None,
    doubts: Sequence[Doubt] = (),
) -> tuple[SafetyWarning, ...]:
    """Warn of entries in question, limits passed and a clutch that would not hold the engine.

    Parameters
    ----------
    limits
        Of the car.
    present
        The setting in force, in own units.
    holding
        The check of torque capacity, where it can be made.
    doubts
        Entries in question on which the setting depends; what they leave unknown is not judged.
    """
    found = [SafetyWarning("in_question", doubt.sentence) for doubt in doubts]
    found += _if_true(limits, doubts)
    unknown = {doubt.adjustment for doubt in doubts}
    known = {} if "setup" in unknown else {k: v for k, v in present.items() if k not in unknown}
    found += limits.broken(known).values()
    if holding is not None and holding.locks(known) is False:
        found.append(
            SafetyWarning(
                "torque_capacity",
                f"As it is set, the clutch holds {holding.of(known):.0f} lb-ft with the least friction "
                f"worn in, less than the engine's {holding.engine_lb_ft:.0f} lb-ft at {holding.rpm:.0f} rpm: "
                "it would not lock.",
            )
        )
    return tuple(found)


def _if_true(limits: Limits, doubts: Sequence[Doubt]) -> list[SafetyWarning]:
    """Warn of a limit that is passed if an entry is true, even while it waits for an answer."""
    found = []
    for doubt in doubts:
        limit = limits.bounds.get(doubt.adjustment)
        if limit is None or doubt.typed is None:
            continue
        for broken in limits.broken({doubt.adjustment: doubt.typed}).values():
            side, words = ("less", limit.low_words) if doubt.typed < limit.low else ("more", limit.high_words)
            text = (
                f"If {limit.spoken(doubt.typed)} of {limit.label} are on the car now, that is {side} than "
                f"{words}: look before the next run."
            )
            found.append(SafetyWarning(broken.kind, text))
    return found


def limits_now(data: CarData) -> Limits:
    """Gather a car's limits with the wear there is now."""
    worn_in = data.worn_now_in
    limits = car_limits(data.garage, data.car, data.runs, data.setups, wear_in=worn_in or 0.0)
    if worn_in is None and unmeasured(data):
        return limits.without_preload("the ring was not measured after the last service")
    return limits


def unmeasured(data: CarData) -> bool:
    """Whether the ring was not measured after the last service."""
    wear = data.wear
    return (
        wear is not None
        and wear.ring_height_in is None
        and bool(wear.services)
        and not data.services.is_empty()
        and bool(data.services["is_service"].any())
    )


def settings_now(data: CarData) -> dict[str, float]:
    """Read a car's setting in force now, in own units."""
    return present_settings(data.runs, data.setups, (item.name for item in data.garage.adjustments))


def warnings_of(data: CarData) -> tuple[SafetyWarning, ...]:
    """Gather every warning about a car as it stands, the most pressing first.

    Parameters
    ----------
    data
        The car's part of the store.
    """
    holding = holding_of(data.garage_car, data.clutch, data.worn_now_in)
    checked = holding if isinstance(holding, Holding) else None
    found = [
        *setting_warnings(limits_now(data), settings_now(data), checked, data.doubts),
        *_screw_warnings(data),
        *_wear_warnings(data),
    ]
    order = get_args(WarningKind)
    return tuple(sorted(found, key=lambda warning: order.index(warning.kind)))


def _screw_warnings(data: CarData) -> list[SafetyWarning]:
    apart = screws_apart(data.runs, data.setups)
    if not apart or any(doubt.adjustment in {"preload", "setup"} for doubt in data.doubts):
        return []
    text = (
        f"The screws stand {apart:g} turn apart: the ring sits crooked and may not release cleanly. "
        "Set them all alike before the next run."
    )
    return [SafetyWarning("uneven_screws", text)]


def _wear_warnings(data: CarData) -> list[SafetyWarning]:
    wear, found = data.wear, []
    if wear is not None and wear.runs_to_service is not None and wear.runs_to_service <= 0:
        text = "The clutch is due for service by the growth in garage.toml: do that first."
        found.append(SafetyWarning("service_due", text))
    elif text := grown_past_new(wear, data.clutch):
        found.append(SafetyWarning("service_due", text))
    if wear is not None and unmeasured(data):
        found.append(SafetyWarning("not_measured", wear.sentence))
    clearance = clearance_warning(data.services, data.clutch)
    return [*found, *([clearance] if clearance else [])]


def grown_past_new(wear: Wear | None, clutch: Clutch | None) -> str:
    """Say that the ring has grown past service_growth from new, where no service is written down.

    Growth is counted from the first check of a stretch; a book begun on a worn disc counts it too low.
    """
    if wear is None or clutch is None or len(wear.services) > 1:
        return ""
    new_in, due_in, now_in = clutch.ring_height_new_in, clutch.service_growth_in, wear.ring_height_in
    if new_in is None or due_in is None or now_in is None or now_in - new_in < due_in:
        return ""
    return (
        f"The ring stands {now_in - new_in:.4f} in above the ring_height_new {new_in:.3f} in of garage.toml, "
        f"not less than service_growth {due_in:.3f} in, and no service is written down: the checks here "
        "began on a worn disc. Service it first, or write the service down."
    )


def clearance_warning(checks: pl.DataFrame, clutch: Clutch | None) -> SafetyWarning | None:
    """Warn of a bearing clearance that is too small, with how it has gone since it was last set.

    Parameters
    ----------
    checks
        The car's rows of ``clutch_checks``.
    clutch
        Its description, with the clearance wanted.
    """
    wanted = None if clutch is None else clutch.bearing_clearance_in
    known = checks.filter(pl.col("bearing_clearance_in").is_not_null()).sort("checked_at", "entry_order")
    if wanted is None or known.is_empty():
        return None
    found = known["bearing_clearance_in"].to_list()
    if not clearance_too_small(found[-1], wanted):
        return None
    return SafetyWarning(
        "bearing_clearance",
        f"Bearing clearance is {found[-1]:.3f} in, less than the {wanted:.3f} in of garage.toml: the bearing "
        f"may ride on the levers and let the clutch slip. Set it before the next run.{_trend(known)}",
    )


def _trend(checks: pl.DataFrame) -> str:
    """Say how the clearance has gone since it was last set, or last grew."""
    found, made = checks["bearing_clearance_in"].to_list(), checks["runs_made"].to_list()
    start = max((at for at in range(1, len(found)) if found[at] > found[at - 1]), default=0)
    lost, runs = found[start] - found[-1], made[-1] - made[start]
    if lost <= 0 or runs <= 0:
        return " No trend can be said: it was measured once since it was set."
    left = found[-1] / (lost / runs)
    return (
        f" It went from {found[start]:.3f} to {found[-1]:.3f} in over {runs} runs, about {lost / runs:.4f} "
        f"in a run; at that rate none is left after {left:.0f} more."
    )
