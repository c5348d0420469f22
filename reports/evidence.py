"""One adjustment on trial: effect curve with the runs, before/after pairs, partners, what would settle it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import polars as pl

from pipeline.decide.results import TestPlan
from pipeline.errors import RequestError
from pipeline.season.check_results import BeforeAfter
from pipeline.season.results import Effect
from pipeline.season.season_fit import SeasonFit
from reports.answer import Said
from reports.charts.common import unchecked
from reports.charts.curve import curve_chart
from reports.charts.pairs import MOST_PAIRS, pairs_chart
from reports.frames import event_choices, with_run_words
from reports.numbers import fixed, interval, of, percent, short_day, thousandths
from reports.page import Figure, Page, Table, render_page
from reports.plan_card import plan_card
from reports.season_figures import precision_figure
from reports.season_tables import cross_check_table, sensitivity_table
from reports.settle import settle_sentence
from reports.tried import latest_value, tried_table
from reports.words import (
    RESPONSE_NAMES,
    RUN_MARKS,
    Setting,
    capital,
    listed,
    plain,
    setting,
    settings_of,
    step_words,
    verdict_words,
)

ALONE = 1.5  # variance inflation below which a setting moved on its own


@dataclass(frozen=True, slots=True)
class EvidencePage(Page):
    """What the page of one adjustment is made from.

    Attributes
    ----------
    adjustment
        Its name, as in ``Effect.adjustment``.
    fit, runs
        Of one car.
    questions, slip_fates
        For the JSON beside the page.
    plan
        Test runs that would settle it; None when there is no plan.
    """

    adjustment: str
    fit: SeasonFit
    runs: pl.DataFrame
    questions: pl.DataFrame
    slip_fates: pl.DataFrame
    plan: TestPlan | None


@unchecked
def figures(page: EvidencePage) -> tuple[Figure, ...]:
    """Return every figure of the page, in order."""
    known = settings_of(page.fit)
    runs = with_run_words(page.runs)
    by_id = {row["run_id"]: row for row in runs.iter_rows(named=True)}
    made = [_curve_figure(page, response, by_id, known) for response in RESPONSE_NAMES]
    return (*made, _pairs_figure(page, runs, known), precision_figure(page.plan, known))


@unchecked
def render(page: EvidencePage) -> str:
    """Write the page of one adjustment as one self-contained HTML document.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.

    Raises
    ------
    RequestError
        When the fit knows no such adjustment.
    """
    known = settings_of(page.fit)
    mine = [effect for effect in page.fit.effects if effect.adjustment == page.adjustment]
    if not mine and page.fit.effects:
        names = listed(dict.fromkeys(effect.adjustment for effect in page.fit.effects))
        raise RequestError(
            f"There is no adjustment called {page.adjustment!r} in this fit.", f"Choose one of {names}."
        )
    words = setting(page.adjustment, known)
    made = figures(page)
    curves = {figure.key: figure for figure in made if figure.key.startswith("curve-")}
    others = [key for key, figure in curves.items() if key != "curve-t60" and figure.chart is not None]
    return render_page(
        "evidence.html",
        page,
        title=f"{page.fit.car}: did {words.label} do anything?",
        figures=made,
        car=page.fit.car,
        label=words.label,
        answer=_answer(page, mine, known),
        slip=_slip(page, mine, known),
        others=others,
        verdicts=_verdicts(mine, known),
        tried=tried_table(page.runs, page.adjustment, words),
        pairs=_pairs_table(page, known),
        partners=_partners(page, mine, known),
        is_thin=all(effect.per_step_s is None for effect in mine),
        plan=plan_card(page.plan, known),
        settle=settle_sentence(page.plan, page.fit.effects, page.adjustment),
        cross_check=cross_check_table(page.fit, known, page.adjustment),
        sensitivity=sensitivity_table(page.fit, known, page.adjustment),
        events=event_choices(page.runs),
    )


def _pairs(page: EvidencePage) -> list[BeforeAfter]:
    return [
        pair
        for pair in page.fit.before_after
        if pair.adjustment == page.adjustment and pair.response == "t60"
    ]


def _days(runs: pl.DataFrame) -> dict[str, str]:
    return {
        event: short_day(day)
        for event, day in runs.drop_nulls("event").group_by("event").agg(pl.col("run_date").min()).iter_rows()
    }


def _axis_title(words: Setting) -> str:
    unit = words.plural or words.unit
    return words.label if not unit or unit in words.label else f"{words.label}, {unit}"


def _curve_figure(
    page: EvidencePage, response: str, by_id: Mapping[int, Mapping[str, Any]], known: Mapping[str, Setting]
) -> Figure:
    words = setting(page.adjustment, known)
    name = RESPONSE_NAMES[response]
    curve = [one for one in page.fit.curves if one.adjustment == page.adjustment and one.response == response]
    residuals = [
        one
        for one in page.fit.partial_residuals
        if one.adjustment == page.adjustment and one.response == response
    ]
    return Figure(
        key=f"curve-{response}".replace("_", "-"),
        title=f"{name} against {words.label}",
        reads=""
        if response != "t60"
        else "The line is what this setting alone does, all else held at its middle; the band what the runs "
        "leave open. Each mark is a run, moved to where it would lie had all else been at its middle; a "
        "small mark was given little weight. Hatched: never tried.",
        spoken=f"{name} by {words.label}: "
        + listed(
            f"{words.text(one.value)} {thousandths(one.seconds)} thousandths"
            for one in curve[:: max(1, len(curve) // 4)]
        ),
        chart=curve_chart(
            curve,
            residuals,
            by_id,
            axis_title=_axis_title(words),
            decimals=words.decimals,
            current=latest_value(page.runs, page.adjustment),
        ),
        empty=f"{capital(words.label)} was not varied enough to draw what it does to {name}.",
        table=Table(
            caption=f"{name} by {words.label}, thousandths of a second against the middle setting",
            headings=(words.label, "thousandths", "interval", "tried"),
            rows=tuple(
                (
                    words.text(one.value),
                    thousandths(one.seconds),
                    interval(one.low_s, one.high_s, 1, scale=1000),
                    "yes" if one.supported else "never",
                )
                for one in curve[:: max(1, len(curve) // 12)]
            ),
            figures=frozenset({0, 1, 2}),
        ),
        marks=()
        if response != "t60"
        else (*RUN_MARKS, ("line", "what it does"), ("hatch", "never tried"), ("dash", "set now")),
    )


def _pairs_figure(page: EvidencePage, runs: pl.DataFrame, known: Mapping[str, Setting]) -> Figure:
    words = setting(page.adjustment, known)
    pairs = _pairs(page)
    shown = telling_pairs(pairs)
    cut = f" Shown are the {len(shown)} largest changes of {len(pairs)}." if len(shown) < len(pairs) else ""
    return Figure(
        key="pairs",
        title="Before and after, within one event",
        reads="Hollow is the difference as run; filled is what is left when everything else that changed is "
        f"taken off; the bar is what the model gives to this change.{cut}",
        spoken="Difference after less before: " + listed(f"{thousandths(pair.adjusted_s)}" for pair in shown),
        chart=pairs_chart(shown, _days(runs), words, known),
        empty=f"{capital(words.label)} was never changed between two neighbouring runs of one event, so "
        "there is no before and after to show.",
        marks=(("hollow", "as run"), ("dot", "the rest taken off"), ("tick", "the model gives")),
    )


def telling_pairs(pairs: Sequence[BeforeAfter]) -> list[BeforeAfter]:
    """Keep the pairs with the largest change of the setting, as many as a chart holds, in their order."""
    sizes = sorted((abs(pair.value_after - pair.value_before) for pair in pairs), reverse=True)
    if len(pairs) <= MOST_PAIRS:
        return list(pairs)
    least = sizes[MOST_PAIRS - 1]
    larger = [pair for pair in pairs if abs(pair.value_after - pair.value_before) >= least]
    return larger[:MOST_PAIRS]


def _answer(page: EvidencePage, mine: list[Effect], known: Mapping[str, Setting]) -> list[Said]:
    main = next((effect for effect in mine if effect.response == "t60"), mine[0] if mine else None)
    words = setting(page.adjustment, known)
    if main is None:
        return [Said("Too early to say.", f"There are not enough usable runs yet to judge {words.label}.")]
    said = [Said(f"{capital(verdict_words(main, known))}.", plain(main.sentence))]
    others = [effect for effect in mine if effect is not main]
    if others:
        parts = listed(
            f"on {RESPONSE_NAMES[one.response]}, {verdict_words(one, known)} ({thousandths(one.per_step_s)} "
            f"thousandths, {interval(one.low_s, one.high_s, 1, scale=1000)})"
            for one in others
            if one.per_step_s is not None
        )
        if parts:
            said.append(Said("Further down.", f"{capital(parts)}."))
    pairs = _pairs(page)
    if pairs:
        agree = sum(1 for pair in pairs if pair.adjusted_s * pair.expected_s > 0)
        said.append(
            Said(
                "By its own pairs.",
                f"It was changed between neighbouring runs {of(len(pairs), 'time')}; the clock went the way "
                f"the model says in {agree} of them.",
            )
        )
    return said


def _slip(page: EvidencePage, mine: list[Effect], known: Mapping[str, Setting]) -> dict[str, Any]:
    main = next((effect for effect in mine if effect.response == "t60"), mine[0] if mine else None)
    lines: list[dict[str, Any]] = []
    if main is not None:
        lines = [
            {"name": "one step", "value": plain(main.step), "strong": False},
            {"name": "thousandths", "value": thousandths(main.per_step_s), "strong": True},
            {"name": "from", "value": thousandths(main.low_s), "strong": False},
            {"name": "to", "value": thousandths(main.high_s), "strong": False},
            {
                "name": "would have shown",
                "value": thousandths(main.smallest_visible_s, sign=False),
                "strong": False,
            },
            {"name": "runs", "value": str(main.runs_used), "strong": False},
        ]
        if main.p_holm is not None and main.per_step_s is not None:
            lines.append({"name": "as much by chance", "value": _by_chance(main.p_holm), "strong": False})
    return {"heading": f"{setting(page.adjustment, known).label}, 60 ft", "lines": lines}


def _by_chance(share: float) -> str:
    return "more often than not" if share > 0.5 else percent(share, 1)


def _verdicts(mine: list[Effect], known: Mapping[str, Setting]) -> list[dict[str, Any]]:
    return [
        {
            "name": RESPONSE_NAMES[one.response],
            "step": step_words(one, known),
            "figure": thousandths(one.per_step_s),
            "range": interval(one.low_s, one.high_s, 1, scale=1000),
            "visible": thousandths(one.smallest_visible_s, sign=False),
            "cool": _at(one.at_cool),
            "hot": _at(one.at_hot),
            "verdict": {
                "verdict": one.verdict,
                "glyph": one.verdict if one.per_step_s is not None else "nothing",
                "words": verdict_words(one, known),
            },
        }
        for one in mine
    ]


def _at(values: tuple[float, float, float] | None) -> str:
    if values is None:
        return ""
    effect, low, high = values
    return f"{thousandths(effect)} ({interval(low, high, 1, scale=1000)})"


def _pairs_table(page: EvidencePage, known: Mapping[str, Setting]) -> Table | None:
    pairs = _pairs(page)
    if not pairs:
        return None
    words = setting(page.adjustment, known)
    numbers = dict(page.runs.select("run_id", "run_of_event").iter_rows())
    return Table(
        caption="Every pair, 60 ft, thousandths of a second after less before",
        headings=(
            "event",
            "runs",
            words.label,
            "as run",
            "the rest taken off",
            "model gives",
            "also changed",
        ),
        rows=tuple(
            (
                pair.event,
                f"{numbers.get(pair.run_before, '?')} → {numbers.get(pair.run_after, '?')}",
                f"{words.bare(pair.value_before)} → {words.bare(pair.value_after)}",
                thousandths(pair.difference_s),
                thousandths(pair.adjusted_s),
                thousandths(pair.expected_s),
                listed(setting(name, known).label for name in pair.also_changed) or "nothing else",
            )
            for pair in pairs
        ),
        figures=frozenset({2, 3, 4, 5}),
    )


def _partners(page: EvidencePage, mine: list[Effect], known: Mapping[str, Setting]) -> list[str]:
    said = []
    for effect in mine:
        if not effect.confounded_with:
            continue
        names = listed(setting(name, known).label for name in effect.confounded_with)
        sentence = (
            f"For {RESPONSE_NAMES[effect.response]} it is tangled with {names}: they rose and fell together"
        )
        if effect.joint is not None:
            sentence += (
                f". Stepped together ({effect.joint.step}) they gave {thousandths(effect.joint.per_step_s)} "
                f"thousandths ({interval(effect.joint.low_s, effect.joint.high_s, 1, scale=1000)})"
            )
        said.append(sentence + ".")
    if mine and mine[0].is_setting and not _pairs(page):
        said.append(
            "With the nights: it was changed only from event to event, so what it did cannot be told from "
            "what the nights did."
        )
        return said
    for row in page.fit.cross_check:
        if row.adjustment == page.adjustment and row.response == "t60" and row.variance_inflation is not None:
            if row.variance_inflation < ALONE:
                said.append("Within events it moved on its own: nothing else rose and fell with it.")
                continue
            said.append(
                f"Within events its own movement is {fixed(row.variance_inflation, 1)} times as hard to read "
                "as if it had moved alone."
            )
    return said
