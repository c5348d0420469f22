"""One printed sheet for whoever runs the car: what to set and why, limits, service, the next test."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.decide.results import NextSetting, TestPlan
from pipeline.season.results import Wear
from pipeline.season.season_fit import SeasonFit
from reports.answer import next_sentence
from reports.numbers import long_day, of, thousandths
from reports.page import Page, Table, render_page
from reports.setting_card import setting_card
from reports.wear_card import wear_card
from reports.words import capital, listed, per_step, plain, setting, settings_of

REASONS = 3
"""So many reasons stand on the sheet; the season review has them all."""
MOST_TEST_RUNS = 8
"""A longer test is on its own page."""


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One limit as the sheet says it: by name and in words, both ends with units, where each is from."""

    adjustment: str
    label: str
    low: str
    high: str
    low_from: str
    high_from: str


@dataclass(frozen=True, slots=True)
class HandoutPage(Page):
    """What the handout is made from.

    Attributes
    ----------
    fit
        What the model found.
    as_of
        Day of the car's last run.
    wear, next_setting, plan
        None when they could not be worked out.
    limits
        Every limit that garage.toml gives or implies.
    """

    fit: SeasonFit
    as_of: str
    wear: Wear | None
    next_setting: NextSetting | None
    plan: TestPlan | None
    limits: tuple[LimitLine, ...]


def render(page: HandoutPage) -> str:
    """Write the handout as one self-contained HTML document that prints on one sheet.

    Parameters
    ----------
    page
        What it is made from.

    Returns
    -------
    str
        HTML.
    """
    known = settings_of(page.fit)
    choice = page.next_setting
    card = setting_card(choice, known)
    return render_page(
        "handout.html",
        page,
        title=f"{page.fit.car}: handout",
        car=page.fit.car,
        as_of=long_day(page.as_of or None),
        sentence=next_sentence(choice, known) if choice is not None else "",
        ticket=next((one for one in card["options"] if one["advised"]), None) if card else None,
        why=reasons(page),
        limits=limits_table(page.limits),
        missing=[capital(line) for line in choice.no_suggestion_for] if choice is not None else [],
        wear=wear_card(page.wear),
        plan=page.plan if page.plan is not None and page.plan.runs else None,
        worth=worth_words(page),
        tests=runs_table(page),
    )


def reasons(page: HandoutPage) -> list[str]:
    """Say what stands behind the setting: the settings that moved the 60 ft, then those likely to have."""
    known = settings_of(page.fit)
    mine = [one for one in page.fit.effects if one.response == "t60" and one.is_setting]
    told = [one for kind in ("moved", "likely") for one in mine if one.verdict == kind]
    said = [plain(one.sentence) for one in told if one.sentence][:REASONS]
    quiet: dict[bool, list[str]] = {True: [], False: []}
    for one in mine:
        if one.verdict == "no_sign" and not one.is_hinted:
            quiet[one.per_step_s is not None].append(setting(one.adjustment, known).label)
    if quiet[True] and len(said) < REASONS:
        said.append(
            f"No sign that {listed(quiet[True], 'or')} moved it, so nothing speaks for a change there."
        )
    if quiet[False]:
        said.append(f"Too little was tried of {listed(quiet[False])} to say what a change there does.")
    return said


def limits_table(limits: tuple[LimitLine, ...]) -> Table | None:
    """Make the table of limits; None without any."""
    if not limits:
        return None
    return Table(
        caption="Nothing here passes these limits, as garage.toml gives them or as they follow from it",
        headings=("setting", "at least", "at most"),
        rows=tuple((one.label, _least(one), one.high) for one in limits),
        figures=frozenset({1, 2}),
    )


def _least(one: LimitLine) -> str:
    """Say of a least that stands in garage.toml as a load what it comes from."""
    return f"{one.low}, from {one.low_from}" if one.low_from.startswith("least_base_load") else one.low


def worth_words(page: HandoutPage) -> list[str]:
    """Say what to try first, then what the next test would bring and whether that is worth its runs."""
    said = []
    if page.next_setting is not None and page.next_setting.trial is not None:
        said.append(plain(page.next_setting.trial.sentence))
    plan = page.plan
    if plan is None or not plan.runs:
        return said
    said.append(plain(plan.sentence))
    if plan.worth_s is not None or not plan.is_worth_it:
        return said
    known = settings_of(page.fit)
    gains = sorted((one for one in plan.precision if one.now_s > 0), key=lambda one: one.after_s / one.now_s)
    told = listed(
        f"{setting(one.adjustment, known).label} to ±{thousandths(one.after_s, sign=False)} thousandths per "
        f"{per_step(one.step)} (now ±{thousandths(one.now_s, sign=False)})"
        for one in gains[:2]
    )
    return [*said, f"{of(len(plan.runs), 'test run')} would narrow {told}."] if told else said


def runs_table(page: HandoutPage) -> Table | None:
    """Make the short table of the test's runs; None for a test not worth them, or too long for the sheet."""
    plan = page.plan
    if plan is None or not plan.is_worth_it or not 0 < len(plan.runs) <= MOST_TEST_RUNS:
        return None
    known = settings_of(page.fit)
    names = list(dict.fromkeys(name for run in plan.runs for name in run.settings))
    return Table(
        caption="In this order; the clutch is touched only between clutch settings",
        headings=("run", "clutch setting", *(setting(name, known).label for name in names)),
        rows=tuple(
            (
                str(run.order),
                str(run.block),
                *(setting(name, known).text(run.settings.get(name)) for name in names),
            )
            for run in plan.runs
        ),
        figures=frozenset(range(1, 2 + len(names))),
    )
