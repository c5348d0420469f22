"""The fleet: what holds for one kind of clutch, which cars differ, who needs looking after."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from pipeline.fleet.results import CarEffect, FleetFit
from reports.answer import Said
from reports.charts.common import unchecked
from reports.charts.fleet import car_chart, fleet_chart
from reports.numbers import fixed, interval, of, percent, thousandths
from reports.page import Figure, Page, Table, render_page
from reports.words import RESPONSE_NAMES, capital, listed, per_step, plain

MOST_ROWS = 60
"""A page lists so many rows of a table; the JSON beside it holds them all."""


@dataclass(frozen=True, slots=True)
class FleetPage(Page):
    """What the fleet's page is made from.

    Attributes
    ----------
    fleet
        What was found over all cars.
    car
        A car to show on its own; None for the fleet alone.
    car_effects
        That car's own and pooled estimates.
    """

    fleet: FleetFit
    car: str | None = None
    car_effects: Sequence[CarEffect] = ()


def clutch_types(page: FleetPage) -> list[str]:
    """Return the clutch types that were pooled, each once."""
    named = [group.clutch_type for group in page.fleet.groups] or [
        one.clutch_type for one in page.fleet.effects
    ]
    return list(dict.fromkeys(named))


@unchecked
def figures(page: FleetPage) -> tuple[Figure, ...]:
    """Return every figure of the page: one a clutch type, and one for the car asked for."""
    made = [_type_figure(page, kind, place) for place, kind in enumerate(clutch_types(page), start=1)]
    if page.car is not None:
        made.append(_car_figure(page))
    return tuple(made)


@unchecked
def render(page: FleetPage) -> str:
    """Write the fleet's page as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.
    """
    fleet = page.fleet
    made = figures(page)
    cars = sum(group.cars for group in fleet.groups)
    return render_page(
        "fleet.html",
        page,
        title=f"The fleet: {of(cars, 'car')}",
        figures=made,
        cars=of(cars, "car"),
        answer=_answer(page),
        slip=_slip(page),
        type_keys=[figure.key for figure in made if figure.key.startswith("fleet-")],
        car=page.car,
        car_table=_side_by_side(page.car_effects) if page.car_effects else None,
        odd=_odd_table(page),
        typing=[(one.car, plain(one.sentence)) for one in fleet.typing_trouble[:MOST_ROWS]],
        service=[(one.car, plain(one.sentence)) for one in fleet.service_due[:MOST_ROWS]],
        every_car=_side_by_side(fleet.car_effects[:MOST_ROWS], with_car=True) if fleet.car_effects else None,
        more=_more(page),
    )


def _answer(page: FleetPage) -> list[Said]:
    fleet = page.fleet
    said = [
        Said(f"{capital(kind)}.", words) for kind in clutch_types(page) if (words := kind_words(page, kind))
    ]
    said += [Said("What it rests on.", plain(group.sentence)) for group in fleet.groups if group.sentence]
    rest = " ".join(plain(sentence) for sentence in fleet.sentences)
    if rest:
        said.append(Said("In all.", rest))
    notes = [
        of(len({one.car for one in fleet.odd_cars}), "car differs", "cars differ") + " from its kind"
        if fleet.odd_cars
        else "",
        of(len(fleet.typing_trouble), "car has", "cars have") + " typing trouble"
        if fleet.typing_trouble
        else "",
        of(len(fleet.service_due), "car is", "cars are") + " due for service" if fleet.service_due else "",
    ]
    if any(notes):
        said.append(Said("Look at.", f"{capital(listed(notes))}."))
    return said or [Said("Too early to say.", "No car of this fleet has enough usable runs to pool yet.")]


def kind_words(page: FleetPage, kind: str) -> str:
    """Say first what each adjustment does to one kind's cars, then of which there is no sign."""
    mine = [one for one in page.fleet.effects if one.clutch_type == kind]
    sure = sorted((one for one in mine if not one.low_s <= 0 <= one.high_s), key=lambda one: -abs(one.mean_s))
    open_yet = [one.label for one in mine if one.low_s <= 0 <= one.high_s]
    said = []
    if sure:
        effects = listed(
            f"{one.label} {thousandths(one.mean_s)} per {per_step(one.step)} "
            f"({interval(one.low_s, one.high_s, 1, scale=1000)}; cars differ by "
            f"{thousandths(one.spread_s, sign=False)})"
            for one in sure
        )
        said.append(
            f"What moves {RESPONSE_NAMES[page.fleet.response]} over its cars, in thousandths, the largest "
            f"step first: {effects}."
        )
    if open_yet:
        said.append(f"No sign over its cars of {listed(open_yet, 'or')}.")
    return " ".join(said)


def _slip(page: FleetPage) -> dict[str, Any]:
    groups = page.fleet.groups
    lines = [
        {"name": "cars", "value": f"{sum(one.cars for one in groups):,}", "strong": True},
        {
            "name": "learned from",
            "value": f"{sum(one.cars_learned_from for one in groups):,}",
            "strong": False,
        },
        {"name": "runs", "value": f"{sum(one.runs for one in groups):,}", "strong": True},
        {"name": "events", "value": f"{sum(one.events for one in groups):,}", "strong": False},
        {"name": "kinds of clutch", "value": str(len(groups)), "strong": False},
    ]
    if len(groups) == 1:
        lines.append(
            {
                "name": "run to run",
                "value": f"{thousandths(groups[0].noise_s, sign=False)} thousandths",
                "strong": False,
            }
        )
        night = f"{thousandths(groups[0].event_sd_s, sign=False)} thousandths"
        lines.append({"name": "night to night", "value": night, "strong": False})
    return {"heading": f"{RESPONSE_NAMES[page.fleet.response]}, the fleet", "lines": lines}


def _type_figure(page: FleetPage, kind: str, place: int) -> Figure:
    effects = [one for one in page.fleet.effects if one.clutch_type == kind]
    name = RESPONSE_NAMES[page.fleet.response]
    return Figure(
        key=f"fleet-{place}",
        title=f"{capital(kind)}: what one step does to {name}",
        reads="The mark is the mean over cars, its line how sure that mean is. Two cars in three lie in "
        "the band.",
        spoken=f"Mean effect on {name} by step: "
        + listed(f"{one.label} {thousandths(one.mean_s)} thousandths" for one in effects),
        chart=fleet_chart(effects),
        empty=f"Too few cars with {kind} have enough runs to pool.",
        table=Table(
            caption=f"Effects over the fleet, {kind}, thousandths of a second per step",
            headings=("one step of", "mean", "limits of the mean", "cars differ by", "cars"),
            rows=tuple(
                (
                    f"{one.label}, {plain(one.step)}",
                    thousandths(one.mean_s),
                    interval(one.low_s, one.high_s, 1, scale=1000),
                    thousandths(one.spread_s, sign=False),
                    f"{one.cars:,}",
                )
                for one in effects
            ),
            figures=frozenset({1, 2, 3, 4}),
        ),
        marks=(("center", "mean over cars"), ("band", "two cars in three")),
    )


def _car_figure(page: FleetPage) -> Figure:
    return Figure(
        key="car",
        title=f"{page.car}: its own runs, and with the fleet behind it",
        reads="Hollow is what its own runs say alone, filled what they say with the fleet behind them. Where "
        "the two part far, look at the car before trusting either.",
        spoken=f"{page.car}, own and pooled: "
        + listed(
            f"{one.label} {thousandths(one.own_s)} and {thousandths(one.pooled_s)}"
            for one in page.car_effects
        ),
        chart=car_chart(page.car_effects),
        empty=f"{page.car} has no run that can be pooled with this fleet.",
        marks=(("hollow", "own runs alone"), ("center", "with the fleet")),
    )


def _side_by_side(effects: Iterable[CarEffect], *, with_car: bool = False) -> Table:
    rows = tuple(
        (
            *((one.car,) if with_car else ()),
            f"{one.label}, {plain(one.step)}",
            str(one.runs),
            thousandths(one.own_s),
            interval(one.own_low_s, one.own_high_s, 1, scale=1000),
            thousandths(one.pooled_s),
            interval(one.pooled_low_s, one.pooled_high_s, 1, scale=1000),
            percent(one.odd),
        )
        for one in effects
    )
    headings = ("one step of", "runs", "own", "between", "with the fleet", "between", "chance it differs")
    first = 2 if with_car else 1
    return Table(
        caption="Own and pooled estimates side by side, thousandths of a second per step",
        headings=("car", *headings) if with_car else headings,
        rows=rows,
        figures=frozenset(range(first, first + 6)),
    )


def _odd_table(page: FleetPage) -> Table | None:
    if not page.fleet.odd_cars:
        return None
    return Table(
        caption="Cars that differ from their kind, thousandths of a second per step",
        headings=(
            "car",
            "one step of",
            "runs",
            "own",
            "pooled",
            "fleet",
            "spreads out",
            "chance",
            "in words",
        ),
        rows=tuple(
            (
                one.car,
                f"{one.label}, {plain(one.step)}",
                str(one.runs),
                thousandths(one.own_s),
                thousandths(one.pooled_s),
                thousandths(one.fleet_s),
                fixed(one.spreads_out, 1, sign=True),
                percent(one.probability),
                plain(one.sentence),
            )
            for one in page.fleet.odd_cars[:MOST_ROWS]
        ),
        figures=frozenset(range(2, 8)),
    )


def _more(page: FleetPage) -> str:
    """Say what the tables leave out."""
    fleet = page.fleet
    lists = (
        (fleet.odd_cars, "car that differs", "cars that differ"),
        (fleet.typing_trouble, "car with typing trouble", "cars with typing trouble"),
        (fleet.service_due, "car due for service", "cars due for service"),
        (fleet.car_effects, "estimate", "estimates"),
    )
    left = [of(len(rows) - MOST_ROWS, one, many) for rows, one, many in lists if len(rows) > MOST_ROWS]
    return f"Not listed here but in the JSON beside this page: {listed(left)}." if left else ""
