"""The answer first: the season in a few plain sentences with numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pipeline.decide.results import NextSetting
from pipeline.season.results import Advice, Effect, SeasonChange
from pipeline.season.season_fit import SeasonFit
from reports.numbers import fixed, interval, of, percent, seconds, short_day, thousandths
from reports.words import (
    LEAST_CHANCE,
    RESPONSE_NAMES,
    SETTINGS,
    Setting,
    capital,
    listed,
    per_step,
    plain,
    setting,
    settings_of,
    spread_label,
)

LEAST_PART_S = 0.0005
"""A part smaller than half a thousandth is not worth a word."""


@dataclass(frozen=True, slots=True)
class Said:
    """One paragraph of an answer: the words it opens with, set strong, and the rest."""

    head: str
    text: str


def season_answer(
    fit: SeasonFit, next_setting: NextSetting | None, known: Mapping[str, Setting]
) -> list[Said]:
    """Say what the season showed, in paragraphs.

    Parameters
    ----------
    fit
        Of one car.
    next_setting
        Its sentence closes the answer.
    known
        How adjustments are called.

    Returns
    -------
    list of Said
        One to three paragraphs.
    """
    if not fit.facts or not fit.effects:
        return [
            Said(
                "Too early to say.",
                "There are not enough usable runs yet to tell what moved the early-track times. Every slip, "
                "weather reading and change you write down from here on counts; the parts below say what is "
                "known so far.",
            )
        ]
    effects = [effect for effect in fit.effects if effect.response == "t60"] or list(fit.effects)
    verdicts = (
        spread_sentence(fit, known),
        _moved_sentence(effects, known),
        _likely_sentence(effects, known),
        _tangled_sentence(effects, known),
        _nothing_sentence(effects, known),
        _beside_sentence(effects),
    )
    paragraphs = [
        Said("What moved it.", " ".join(part for part in verdicts if part)),
        Said("What it came to.", _change_sentence(fit)),
        Said("What came of the advice.", advice_sentence(fit.advice)),
    ]
    if next_setting is not None:
        paragraphs.append(Said("What to set.", next_sentence(next_setting, known)))
    return [paragraph for paragraph in paragraphs if paragraph.text]


def advice_sentence(advice: Sequence[Advice]) -> str:
    """Say how much of the advice was followed, what it promised and what it brought; empty with none."""
    if not advice:
        return ""
    followed = [one for one in advice if one.followed]
    said = f"Followed {len(followed)} of {len(advice)}"
    changes = [(one.gain_s, one.came_s) for one in followed if one.came_s is not None]
    if not changes:
        return f"{said}; no change was among them."
    promised, came = (fixed(-1000 * sum(pair[k] for pair in changes), 1) for k in (0, 1))
    quicker = sum(came < 0 for _, came in changes)
    return (
        f"{said}; the changes among them promised {promised} thousandths in all, and {came} came by what the "
        f"runs since say. {quicker} of {of(len(changes), 'change')} made it quicker."
    )


def _change_sentence(fit: SeasonFit) -> str:
    change = next((change for change in fit.changes if change.response == "t60"), None)
    if change is None:
        return ""
    return change_sentence(change, fit.car)


def change_sentence(change: SeasonChange, car: str) -> str:
    """Say how far the mean went between two sets of runs, and what gave most of it."""
    before, after = change.from_period, change.to_period
    way = "quicker" if change.total_s < 0 else "slower"
    count = thousandths(abs(change.total_s), sign=False, decimals=0)
    size = f"{count} {'thousandth' if count == '1' else 'thousandths'} {way}" if count != "0" else "no change"
    said = (
        f"{car}’s {RESPONSE_NAMES[change.response]} went from {seconds(before.mean_s)} "
        f"({of(before.runs, 'run')}, {short_day(before.first_date)} to {short_day(before.last_date)}) to "
        f"{seconds(after.mean_s)} ({of(after.runs, 'run')}, {short_day(after.first_date)} to "
        f"{short_day(after.last_date)}): {size}."
    )
    parts = sorted(
        (part for part in change.parts if abs(part.seconds) >= LEAST_PART_S),
        key=lambda part: -abs(part.seconds),
    )[:3]
    if not parts:
        return said
    gave = listed(f"{part.label} {thousandths(part.seconds)}" for part in parts)
    return f"{said} The largest parts, in thousandths: {gave}."


def spread_sentence(fit: SeasonFit, known: Mapping[str, Setting], response: str = "t60") -> str:
    """Say what made most of the spread between runs, or which lead without a winner."""
    made = [one for one in fit.spread if one.response == response]
    settings = [one for one in made if one.is_setting]
    if not settings:
        return ""
    first = settings[0]
    tied = [one for one in settings[1:] if one.adjustment in first.tied_with]
    size = (
        f"{thousandths(first.seconds, sign=False)} thousandths of spread between runs "
        f"({interval(first.low_s, first.high_s, 1, scale=1000)})"
    )
    name = spread_label(first, known)
    if not tied:
        return f"Of the adjustments {name} made the {RESPONSE_NAMES[response]} time differ most: {size}."
    names = listed((spread_label(one, known) for one in (first, *tied)), "or")
    return (
        f"Of the adjustments {names} made the {RESPONSE_NAMES[response]} time differ most; the runs do not "
        f"say which ({name}: {size})."
    )


def _moved_sentence(effects: Sequence[Effect], known: Mapping[str, Setting]) -> str:
    moved = sorted(
        (effect for effect in effects if effect.verdict == "moved" and effect.is_setting),
        key=lambda effect: -abs(effect.per_step_s or 0.0),
    )
    if not moved:
        return "Not one of the adjustments can yet be said to have moved the 60 ft time."
    return f"{capital(listed(_moved_words(effect, known) for effect in moved))}."


def _moved_words(effect: Effect, known: Mapping[str, Setting]) -> str:
    label = setting(effect.adjustment, known).label
    if effect.per_step_s is None:
        return label
    if effect.low_s is not None and effect.high_s is not None and effect.low_s < 0 < effect.high_s:
        cool, hot = effect.at_cool, effect.at_hot
        if cool is not None and hot is not None:
            return (
                f"{label}, not one way over what you tried ({thousandths(cool[0])} thousandths "
                f"per {per_step(effect.step)} on a cool track, {thousandths(hot[0])} on a hot one)"
            )
        return f"{label}, not one way over what you tried"
    return (
        f"{label}, {thousandths(effect.per_step_s)} thousandths per {per_step(effect.step)} "
        f"({interval(effect.low_s, effect.high_s, 1, scale=1000)})"
    )


def _likely_sentence(effects: Sequence[Effect], known: Mapping[str, Setting]) -> str:
    likely = [effect for effect in effects if effect.verdict == "likely" and effect.is_setting]
    if not likely:
        return ""
    too = " too" if any(effect.verdict == "moved" and effect.is_setting for effect in effects) else ""
    return f"{capital(listed(_moved_words(effect, known) for effect in likely))} likely moved it{too}."


def _tangled_sentence(effects: Sequence[Effect], known: Mapping[str, Setting]) -> str:
    said: list[str] = []
    seen: set[frozenset[str]] = set()
    for effect in effects:
        group = frozenset((effect.adjustment, *effect.confounded_with))
        if effect.verdict != "inseparable" or group in seen:
            continue
        seen.add(group)
        names = listed(setting(name, known).label for name in (effect.adjustment, *effect.confounded_with))
        sentence = f"{capital(names)} were changed together so often that they can’t be told apart"
        if effect.joint is not None:
            joint = effect.joint
            sentence += (
                f"; stepped together they gave {thousandths(joint.per_step_s)} thousandths "
                f"({interval(joint.low_s, joint.high_s, 1, scale=1000)})"
            )
        said.append(sentence + ".")
    return " ".join(said)


def _nothing_sentence(effects: Sequence[Effect], known: Mapping[str, Setting]) -> str:
    quiet = [
        effect
        for effect in effects
        if effect.verdict == "no_sign" and effect.is_setting and not effect.is_hinted
    ]
    seen = [
        effect for effect in quiet if effect.smallest_visible_s is not None and effect.per_step_s is not None
    ]
    thin = [effect for effect in quiet if effect not in seen]
    said = ""
    if seen:
        limits = listed(
            f"{setting(effect.adjustment, known).label} (anything beyond "
            f"{thousandths(effect.smallest_visible_s, sign=False)} thousandths per {per_step(effect.step)} "
            "would have shown)"
            for effect in seen
        )
        said = f"There is no sign of {limits}."
    if thin:
        said = " ".join([said, *(plain(effect.sentence) for effect in thin)]).strip()
    return said


def _beside_sentence(effects: Sequence[Effect]) -> str:
    """Say what moved the times beside settings, air and track: a driver, a lane, heat."""
    told = [
        f"{one.label} ({f'{one.step}: ' if one.step[:1].isdigit() else ''}{thousandths(one.per_step_s)} "
        f"thousandths, {interval(one.low_s, one.high_s, 1, scale=1000)})"
        for one in effects
        if one.verdict == "moved" and not one.is_setting and one.adjustment not in SETTINGS
    ]
    return f"Beside them these moved it: {listed(told)}." if told else ""


CHANCE_EXPLAINED = (
    "That chance is about the whole change being quicker at all, by however little; the range is what 95 in "
    "100 leave open, and a verdict is about one adjustment alone. So a change can be this likely and its "
    "range still reach past zero, or the verdict on it be no sign."
)
"""Stands where a chance meets an interval or a verdict: they answer different questions."""


def chance_sentences(choice: NextSetting) -> list[str]:
    """Say how likely a change beats staying, by how much, and why interval and verdict may look less sure.

    Parameters
    ----------
    choice
        With or without a change.

    Returns
    -------
    list of str
        Empty when nothing is to be changed, or only to come inside a limit.
    """
    if choice.p_better is None:
        return []
    other = "staying put" if choice.outcome == "change" else "only coming inside the limits"
    parts = listed(
        f"{part.label} {thousandths(part.seconds)} ({interval(part.low_s, part.high_s, 1, scale=1000)})"
        for part in choice.parts
    )
    return [
        *([f"Part by part, in thousandths: {parts}."] if len(choice.parts) > 1 else []),
        f"Chance that the change beats {other}: {percent(choice.p_better)}; expected "
        f"{thousandths(choice.gain_s)} thousandths "
        f"({interval(choice.gain_low_s, choice.gain_high_s, 1, scale=1000)}).",
        CHANCE_EXPLAINED,
    ]


def next_line(fit: SeasonFit, choice: NextSetting | None) -> list[str]:
    """Say on the terminal, too, what a page closes its answer with; empty where there is nothing to say."""
    return [] if choice is None else ["", f"Next: {next_sentence(choice, settings_of(fit))}"]


def night_lines(fit: SeasonFit, event: str) -> list[str]:
    """Say how a night went: best and typical 60 ft, then each time against what is usual."""
    return [
        f"Best {seconds(night.best_s)}, typical {seconds(night.typical_s)} over {of(night.runs, 'run')}. "
        f"{night.sentence}"
        if night.response == "t60"
        else night.sentence
        for night in fit.nights
        if night.event == event
    ]


def next_sentence(choice: NextSetting, known: Mapping[str, Setting]) -> str:
    """Say what to set next, or that staying is the honest answer."""
    forecast = choice.forecast
    when = (
        f"At {fixed(forecast.track_temp_degf, 0)} °F track"
        if forecast.track_temp_degf is not None
        else "Next"
    )
    if choice.outcome in ("nothing", "come_inside"):
        return plain(choice.sentence)
    if choice.change_to is None:
        return (
            f"{when}: stay where you are. No change inside your limits has {LEAST_CHANCE[choice.risk]} to be "
            f"quicker; expect {seconds(choice.stay.expected_s)} "
            f"({interval(choice.stay.low_s, choice.stay.high_s)} for one run)."
        )
    changes = listed(
        f"{setting(name, known).label} {setting(name, known).text(value)} "
        f"(was {setting(name, known).bare(choice.stay.settings.get(name))})"
        for name, value in choice.change_to.settings.items()
        if value != choice.stay.settings.get(name)
    )
    return (
        f"{when}: set {changes}. Expect {seconds(choice.change_to.expected_s)} "
        f"({interval(choice.change_to.low_s, choice.change_to.high_s)} for one run) against "
        f"{seconds(choice.stay.expected_s)} where it stands; the chance that it beats staying put is "
        f"{percent(choice.p_better)}."
    )
