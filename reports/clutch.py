"""The bench card: what one setting of one clutch presses, holds, wears and is worth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import polars as pl

from reports.answer import Said
from reports.charts.clutch import capacity_chart, plate_load_chart
from reports.charts.common import unchecked
from reports.numbers import UNKNOWN, fixed, interval
from reports.page import Figure, Page, Table, render_page
from reports.words import capital, listed

WORTH_WORDS = {"preload": "one turn of every screw", "counterweight": "one gram on every lever"}


@dataclass(frozen=True, slots=True)
class ClutchPage(Page):
    """What the bench card's page is made from.

    Attributes
    ----------
    car
        Its name.
    card
        The bench card as plain data: ``setting``, ``preload_when_set_lb``, ``preload_lb``,
        ``at_launch``, ``at_shift``, ``curve``, ``meeting_rpm_low_friction``,
        ``meeting_rpm_high_friction``, ``worth``, ``wear``, ``checks``, ``missing``.
    """

    car: str
    card: Mapping[str, Any]


@unchecked
def figures(page: ClutchPage) -> tuple[Figure, ...]:
    """Return every figure of the card."""
    curve = curve_frame(page.card)
    launch = page.card["setting"]["launch_rpm"]
    return (_load_figure(page.card, curve, launch), _capacity_figure(page.card, curve, launch))


def curve_frame(card: Mapping[str, Any]) -> pl.DataFrame:
    """Return the card's curve as a frame for the charts."""
    names = {
        "rpm": "rpm",
        "static_lb": "static_lb",
        "centrifugal_lb": "centrifugal_lb",
        "plate_load_lb": "plate_load_lb",
        "worn_in_low_lb_ft": "capacity_low_lb_ft",
        "worn_in_high_lb_ft": "capacity_high_lb_ft",
        "engine_lb_ft": "engine_torque_lb_ft",
    }
    return pl.DataFrame(
        {new: [point.get(old) for point in card["curve"]] for old, new in names.items()},
        schema=dict.fromkeys(names.values(), pl.Float64),
    )


@unchecked
def render(page: ClutchPage) -> str:
    """Write the bench card as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.
    """
    card = page.card
    return render_page(
        "clutch.html",
        page,
        title=f"{page.car}: bench card",
        figures=figures(page),
        car=page.car,
        answer=_answer(card),
        slip=_slip(card),
        worth=worth_table(card),
        points=_points_table(card),
        wear=_wear_facts(card["wear"]),
        checks=[
            {
                "what": capital(str(check["what"])),
                "state": _state(check["passed"]),
                "sentence": check["sentence"],
            }
            for check in card["checks"]
        ],
        missing=list(card["missing"]),
    )


def _state(passed: bool | None) -> dict[str, str]:
    if passed is None:
        return {"glyph": "nothing", "verdict": "no_sign", "words": "not measured"}
    if passed:
        return {"glyph": "moved", "verdict": "moved", "words": "in order"}
    return {"glyph": "spun", "verdict": "moved", "words": "see to it"}


def _lb(value: float | None) -> str:
    return UNKNOWN if value is None else f"{fixed(value, 0)} lb"


def _turns(setting: Mapping[str, Any]) -> str:
    turns = list(setting["turns"])
    if len(set(turns)) == 1:
        return f"{fixed(turns[0], 2)} turns"
    return " ".join(fixed(turn, 2) for turn in turns)


def _answer(card: Mapping[str, Any]) -> list[Said]:
    launch, shift, setting = card["at_launch"], card["at_shift"], card["setting"]
    failed = [check["sentence"] for check in card["checks"] if check["passed"] is False]
    said = [Said("Look first.", " ".join(failed))] if failed else []
    said += [Said("Springs.", f"{_lb(card['preload_lb'])} now, {_lb(card['preload_when_set_lb'])} when set.")]
    if launch["plate_load_lb"] is not None:
        share = launch["centrifugal_lb"] / launch["plate_load_lb"]
        text = (
            f"At {fixed(launch['rpm'], 0)} rpm the plate is pressed with {_lb(launch['plate_load_lb'])}, "
            f"{fixed(100 * share, 0)} % of it from the levers and their "
            f"{fixed(setting['counterweight_g'], 1)} g each"
        )
        if shift is not None and shift["plate_load_lb"] is not None:
            text += f"; at the shift ({fixed(shift['rpm'], 0)} rpm) with {_lb(shift['plate_load_lb'])}"
        said.append(Said("At launch.", text + "."))
    if launch["worn_in_low_lb_ft"] is not None:
        low, high = launch["worn_in_low_lb_ft"], launch["worn_in_high_lb_ft"]
        text = f"Between {fixed(low, 0)} and {fixed(high, 0)} lb-ft"
        if launch["engine_lb_ft"] is not None:
            text += f", where the engine makes {fixed(launch['engine_lb_ft'], 0)}"
        said.append(Said("It holds.", text + "; friction is only known as a range."))
    meet = sorted([*card["meeting_rpm_low_friction"], *card["meeting_rpm_high_friction"]])
    if meet:
        text = (
            f"Capacity meets the engine between {fixed(meet[0], 0)} and {fixed(meet[-1], 0)} rpm"
            if len(meet) > 1
            else f"Capacity meets the engine near {fixed(meet[0], 0)} rpm"
        )
        said.append(
            Said("Locks.", f"{text}. A calculation from friction nobody measured: never trust it blindly.")
        )
    return said


def _slip(card: Mapping[str, Any]) -> dict[str, Any]:
    setting, launch = card["setting"], card["at_launch"]
    lines: list[dict[str, Any]] = [
        {"name": "adjusters", "value": _turns(setting), "strong": True},
        {"name": "counterweight", "value": f"{fixed(setting['counterweight_g'], 1)} g", "strong": True},
        {"name": "launch", "value": f"{fixed(setting['launch_rpm'], 0)} rpm", "strong": True},
        {"name": "springs", "value": _lb(card["preload_lb"]), "strong": False},
        {"name": "levers", "value": _lb(launch["centrifugal_lb"]), "strong": False},
        {"name": "plate load", "value": _lb(launch["plate_load_lb"]), "strong": False},
    ]
    return {"heading": "Bench card", "lines": lines}


def _load_figure(card: Mapping[str, Any], curve: pl.DataFrame, launch: float) -> Figure:
    at = card["at_launch"]
    levers = curve["centrifugal_lb"].drop_nulls().len() > 0
    return Figure(
        key="plate-load",
        title="Plate load by engine speed",
        reads="What the springs give does not change with speed; what levers and weights add grows with "
        "its square.",
        spoken=f"Plate load at {fixed(launch, 0)} rpm: springs {_lb(at['static_lb'])}, "
        f"levers {_lb(at['centrifugal_lb'])}.",
        chart=plate_load_chart(curve, launch),
        empty="",
        table=Table(
            caption="Plate load by engine speed, lb",
            headings=("rpm", "springs", "levers and weights", "in all"),
            rows=tuple(
                (
                    fixed(row["rpm"], 0),
                    fixed(row["static_lb"], 0),
                    fixed(row["centrifugal_lb"], 0),
                    fixed(row["plate_load_lb"], 0),
                )
                for row in curve.gather_every(2).iter_rows(named=True)
            ),
            figures=frozenset({1, 2, 3}),
        ),
        marks=(("band", "springs"), ("levers", "levers and weights"), ("dash", "launch"))
        if levers
        else (("band", "springs"), ("dash", "launch")),
    )


def _capacity_figure(card: Mapping[str, Any], curve: pl.DataFrame, launch: float) -> Figure:
    at = card["at_launch"]
    return Figure(
        key="capacity",
        title="What it can hold, against what the engine makes",
        reads="The band is torque capacity of a worn-in disc over the range of friction given. Where engine "
        "torque is above it, the clutch slips; inside it, nobody can say.",
        spoken=f"Torque capacity at {fixed(launch, 0)} rpm: "
        f"{interval(at['worn_in_low_lb_ft'], at['worn_in_high_lb_ft'], 0)} lb-ft.",
        chart=capacity_chart(curve, launch),
        empty=_capacity_wants(card["missing"]),
        table=Table(
            caption="Torque by engine speed, lb-ft",
            headings=("rpm", "capacity, worn-in disc", "engine"),
            rows=tuple(
                (
                    fixed(row["rpm"], 0),
                    interval(row["capacity_low_lb_ft"], row["capacity_high_lb_ft"], 0),
                    fixed(row["engine_torque_lb_ft"], 0),
                )
                for row in curve.gather_every(2).iter_rows(named=True)
            ),
            figures=frozenset({1, 2}),
        ),
        marks=(("band", "it can hold"), ("engine", "engine torque"), ("dash", "launch")),
    )


CAPACITY_LINES = (
    "levers", "lever_mass", "lever_radius", "lever_ratio", "friction", "friction_faces", "outer_diameter",
    "inner_diameter",
)  # fmt: skip
"""What garage.toml must say of the clutch before its torque capacity can be worked out."""


def _capacity_wants(missing: Sequence[str]) -> str:
    """Name the lines that torque capacity is missing, and only those."""
    wanted = listed(name for name in CAPACITY_LINES if name in missing)
    return f"To work out torque capacity, add {wanted} to [[clutch]] in garage.toml." if wanted else ""


def worth_table(card: Mapping[str, Any]) -> Table | None:
    """Make the table of what one step of each thing is worth."""
    if not card["worth"]:
        return None
    return Table(
        caption="What one step is worth",
        headings=("one step", "at", "plate load, lb", "capacity, lb-ft"),
        rows=tuple(
            (
                WORTH_WORDS.get(str(one["what"]), f"{one['step']} of {one['what']}"),
                f"{one['at']}, {fixed(one['rpm'], 0)} rpm",
                fixed(one["load_lb"], 1, sign=True),
                fixed(one["capacity_lb_ft"], 1, sign=True),
            )
            for one in card["worth"]
        ),
        figures=frozenset({2, 3}),
    )


def _points_table(card: Mapping[str, Any]) -> Table:
    places = [("launch", card["at_launch"]), ("shift", card["at_shift"])]
    return Table(
        caption="At launch and at the shift",
        headings=(
            "at",
            "rpm",
            "springs, lb",
            "levers, lb",
            "in all, lb",
            "worn-in disc, lb-ft",
            "new disc, lb-ft",
        ),
        rows=tuple(
            (
                name,
                fixed(point["rpm"], 0),
                fixed(point["static_lb"], 0),
                fixed(point["centrifugal_lb"], 0),
                fixed(point["plate_load_lb"], 0),
                interval(point["worn_in_low_lb_ft"], point["worn_in_high_lb_ft"], 0),
                interval(point["new_low_lb_ft"], point["new_high_lb_ft"], 0),
            )
            for name, point in places
            if point is not None
        ),
        figures=frozenset(range(1, 7)),
    )


def _wear_facts(wear: Mapping[str, Any]) -> list[tuple[str, str]]:
    shims = listed(fixed(shim, 3) for shim in wear["shims_in"])
    runs = wear["runs_to_service"]
    return [
        ("ring height", _inch(wear["ring_height_in"])),
        ("grown since set", _inch(wear["grown_since_set_in"])),
        ("grown since service", _inch(wear["grown_since_service_in"])),
        ("preload lost", _lb(wear["preload_lost_lb"])),
        ("runs to service", UNKNOWN if runs is None else fixed(max(0.0, runs), 0)),
        ("shims to take out", shims or UNKNOWN),
    ]


def _inch(value: float | None) -> str:
    return UNKNOWN if value is None else f"{fixed(value, 3)} in"
