"""The checks of a bench card: even, safe, heavy enough, clear, due for service."""

from __future__ import annotations

from pipeline.errors import SlipledgerError
from pipeline.physics.bench_records import BenchCheck, BenchSetting, ClutchUnit, WearNow
from pipeline.physics.clutch import turns_spread, uneven_screws
from pipeline.physics.ranges import refuse_outside

MOST_RPM, MOST_TURNS, MOST_GRAMS = 20_000.0, 20.0, 5_000.0
# A ring measured at several stands is crooked when they differ by more: a caliper's repeatability.
EVEN_RING_IN = 0.003
# Bearing clearance may be off by an eighth of itself before the card speaks.
_CLEARANCE_SHARE = 0.125


def turns_of_each(unit: ClutchUnit, setting: BenchSetting) -> tuple[float, ...]:
    """Return the turns of each screw, whether one number was written or all."""
    if unit.screws is None:
        raise SlipledgerError(
            f"{len(setting.turns)} adjuster setting(s) cannot be laid over an unknown number of screws.",
            "Add the line 'screws' to [[clutch]] in garage.toml.",
        )
    if len(setting.turns) == 1:
        return setting.turns * unit.screws
    if len(setting.turns) != unit.screws:
        raise SlipledgerError(
            f"{len(setting.turns)} turns are given for {unit.screws} screws.",
            f"Give one number for all screws, or {unit.screws}: one for each.",
        )
    return setting.turns


def refuse_unreal(setting: BenchSetting) -> None:
    """Refuse speeds, turns and masses that no clutch has, in the units they were typed in."""
    for what, rpm in (("launch rpm", setting.launch_rpm), ("shift rpm", setting.shift_rpm or 0.0)):
        refuse_outside(what, rpm, "rpm", 0.0, MOST_RPM, "Engine speed is in revolutions a minute.")
    refuse_outside("an adjuster setting", setting.turns, "turns", 0.0, MOST_TURNS)
    refuse_outside(
        "counterweight", setting.counterweight_g, "g", 0.0, MOST_GRAMS, "It is the mass added to one lever."
    )


def grown_since_service(unit: ClutchUnit, wear: WearNow) -> float | None:
    """Return the growth since the last service [in], or since new when only the ring height is known."""
    if wear.grown_since_service_in is not None:
        return wear.grown_since_service_in
    if wear.ring_height_in is None or unit.ring_height_new_in is None:
        return None
    return wear.ring_height_in - unit.ring_height_new_in


def bench_checks(
    unit: ClutchUnit, setting: BenchSetting, wear: WearNow, preload_lb: float
) -> tuple[BenchCheck, ...]:
    """Make all checks of a setting and its wear.

    Parameters
    ----------
    unit, setting, wear
        As :func:`pipeline.physics.bench_card.bench_card` takes them.
    preload_lb
        Static plate load left after wear. [lb]

    Returns
    -------
    tuple of BenchCheck
        ``passed`` is None where a limit or a measurement is not given.

    Raises
    ------
    SlipledgerError
        For as many turns as there are neither one nor screws of.

    References
    ----------
    Limits are garage.toml's own; evenness is common practice, no source.
    """
    found = [_screws_even(unit, setting), _turns_safe(unit, setting), _base_load(unit, preload_lb)]
    found += [
        _engine_speed(setting),
        _counterweight(unit, setting),
        _ring_even(wear),
        _clearance(unit, wear),
        _growth(unit, wear),
    ]
    return tuple(found)


def _screws_even(unit: ClutchUnit, setting: BenchSetting) -> BenchCheck:
    turns = turns_of_each(unit, setting)
    crooked = uneven_screws(turns)
    if not crooked:
        return BenchCheck("screws even", True, "All screws stand at the same turns.")
    named = ", ".join(str(screw) for screw in crooked)
    return BenchCheck(
        "screws even",
        False,
        f"Screw {named} differs from the others; the turns spread over {turns_spread(turns):g}. "
        "Set all screws the same, or the ring sits crooked.",
    )


def _turns_safe(unit: ClutchUnit, setting: BenchSetting) -> BenchCheck:
    most = max(setting.turns)
    if unit.safe_turns is None:
        return BenchCheck("turns", None, "garage.toml gives no safe_turns, so turns are not judged.")
    if most > unit.safe_turns:
        return BenchCheck("turns", False, f"{most:g} turns pass the safe {unit.safe_turns:g} of garage.toml.")
    return BenchCheck("turns", True, f"{most:g} turns are within the safe {unit.safe_turns:g}.")


def _base_load(unit: ClutchUnit, preload_lb: float) -> BenchCheck:
    least = unit.least_base_load_lb
    if least is None:
        return BenchCheck("static load", None, "garage.toml gives no least_base_load, so it is not judged.")
    if preload_lb < least:
        return BenchCheck(
            "static load", False, f"{preload_lb:.0f} lb are below the least {least:.0f} lb of garage.toml."
        )
    return BenchCheck("static load", True, f"{preload_lb:.0f} lb are not below the least {least:.0f} lb.")


def _engine_speed(setting: BenchSetting) -> BenchCheck:
    limit = setting.engine_rpm_limit
    if limit is None:
        return BenchCheck("engine speed", None, "garage.toml gives no engine_rpm_limit: not judged.")
    fastest = max(setting.launch_rpm, setting.shift_rpm or 0.0)
    if fastest > limit:
        return BenchCheck(
            "engine speed", False, f"{fastest:.0f} rpm pass the {limit:.0f} rpm of garage.toml."
        )
    return BenchCheck("engine speed", True, f"{fastest:.0f} rpm are within the engine's {limit:.0f}.")


def _counterweight(unit: ClutchUnit, setting: BenchSetting) -> BenchCheck:
    limits, grams = unit.counterweight_limits_g, setting.counterweight_g
    if limits is None:
        return BenchCheck("counterweight", None, "garage.toml gives no counterweight_limits: not judged.")
    if limits[0] <= grams <= limits[1]:
        return BenchCheck(
            "counterweight", True, f"{grams:g} g a lever are within {limits[0]:g} to {limits[1]:g} g."
        )
    return BenchCheck(
        "counterweight",
        False,
        f"{grams:g} g a lever are outside {limits[0]:g} to {limits[1]:g} g of garage.toml.",
    )


def _ring_even(wear: WearNow) -> BenchCheck:
    heights = wear.ring_heights_in
    if len(heights) < 2:
        return BenchCheck(
            "ring even", None, "Measure the ring height at every stand to see whether it is level."
        )
    spread = max(heights) - min(heights)
    if spread > EVEN_RING_IN + 1e-9:
        return BenchCheck(
            "ring even",
            False,
            f"Ring heights differ by {spread:.3f} in: check screws and springs one by one.",
        )
    return BenchCheck(
        "ring even", True, f"Ring heights differ by {spread:.3f} in, no more than a caliper does."
    )


def _clearance(unit: ClutchUnit, wear: WearNow) -> BenchCheck:
    wanted, found = unit.bearing_clearance_in, wear.bearing_clearance_in
    if wanted is None or found is None:
        lacking = "garage.toml gives no bearing_clearance" if wanted is None else "No clearance was measured"
        return BenchCheck("bearing clearance", None, f"{lacking}, so it is not judged.")
    if clearance_too_small(found, wanted):
        return BenchCheck(
            "bearing clearance",
            False,
            f"{found:.3f} in is too small beside the {wanted:.3f} in of garage.toml: the bearing may ride on "
            "the levers.",
        )
    passed = found - wanted <= _CLEARANCE_SHARE * wanted + 1e-9
    ending = "near" if passed else "more than"
    return BenchCheck(
        "bearing clearance", passed, f"{found:.3f} in is {ending} the {wanted:.3f} in of garage.toml."
    )


def clearance_too_small(found_in: float, wanted_in: float) -> bool:
    """Return whether a bearing clearance is short of the one wanted by more than an eighth of it.

    Parameters
    ----------
    found_in, wanted_in
        Measured, and of garage.toml. [in]

    Returns
    -------
    bool

    References
    ----------
    Common practice, no source: too little is the dangerous side.
    """
    return found_in < (1.0 - _CLEARANCE_SHARE) * wanted_in - 1e-9


def _growth(unit: ClutchUnit, wear: WearNow) -> BenchCheck:
    limit, grown = unit.service_growth_in, grown_since_service(unit, wear)
    if limit is None or grown is None:
        lacking = "garage.toml gives no service_growth" if limit is None else "No ring height was measured"
        return BenchCheck("growth", None, f"{lacking}, so wear is not judged.")
    if grown >= limit - 1e-9:
        return BenchCheck("growth", False, f"Grown {grown:.3f} in, service is due at {limit:.3f} in.")
    return BenchCheck("growth", True, f"Grown {grown:.3f} of the {limit:.3f} in at which service is due.")
