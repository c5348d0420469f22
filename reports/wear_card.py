"""The clutch's state in figures and a sentence, for every page that shows it."""

from __future__ import annotations

from typing import Any

from pipeline.season.results import Wear, WearService
from reports.numbers import fixed, short_day
from reports.page import Table


def wear_card(wear: Wear | None) -> dict[str, Any] | None:
    """Prepare the wear state for its template.

    Parameters
    ----------
    wear
        None when ring height was never measured.

    Returns
    -------
    dict or None
        ``facts`` (name, value), ``shims`` (which pieces), ``sentence``, ``services`` (a table or None).
    """
    if wear is None:
        return None
    shims = " + ".join(fixed(shim, 3) for shim in wear.shims)
    facts = [
        ("ring height now", _with(wear.ring_height_in, 3, "in")),
        ("growth per run", _with(wear.growth_in_per_run, 5, "in")),
        ("preload lost", _with(wear.preload_lost_lb, 0, "lb")),
        ("runs to service", _runs_left(wear)),
        ("shim to remove", _with(wear.shim_to_remove_in, 3, "in")),
    ]
    return {
        "facts": facts,
        "shims": f"as {shims}" if len(wear.shims) > 1 else "",
        "sentence": wear.sentence,
        "services": service_table(wear.services),
    }


def service_table(services: tuple[WearService, ...]) -> Table | None:
    """Make the table of stretches between services; None when there is none."""
    if not services:
        return None
    return Table(
        caption="Ring height between services, by caliper",
        headings=(
            "service",
            "from",
            "to",
            "runs",
            "ring height, in",
            "growth per run, in",
            "shim removed, in",
        ),
        rows=tuple(
            (
                str(one.service_no) if one.service_no else "as found",
                short_day(one.first_date),
                short_day(one.last_date),
                str(one.runs),
                f"{fixed(one.ring_height_start_in, 3)} to {fixed(one.ring_height_end_in, 3)}",
                fixed(one.growth_in_per_run, 5),
                fixed(one.shim_removed_in, 3),
            )
            for one in services
        ),
        figures=frozenset({3, 4, 5, 6}),
    )


def _with(value: float | None, decimals: int, unit: str) -> str:
    return f"{fixed(value, decimals)} {unit}" if value is not None else fixed(None, 0)


def _runs_left(wear: Wear) -> str:
    """Write the runs to service with their range."""
    left, low, high = wear.runs_to_service, wear.runs_to_service_low, wear.runs_to_service_high
    said = fixed(_not_below_zero(left), 0)
    if left is None or left <= 0 or low is None:
        return said
    return (
        f"{said} ({fixed(low, 0)} or more)"
        if high is None
        else f"{said} ({fixed(low, 0)} to {fixed(high, 0)})"
    )


def _not_below_zero(value: float | None) -> float | None:
    return None if value is None else max(0.0, value)
