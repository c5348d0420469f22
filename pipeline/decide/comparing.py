"""Two settings side by side under a forecast: what each is expected to run, and what speaks against it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pipeline.decide.deciding import hotter_than_run, launch_fit
from pipeline.decide.forecast import read_forecast
from pipeline.decide.holding import Holding, holding_of
from pipeline.decide.limits import SAME, Limits
from pipeline.decide.next_setting import choice_at, in_hundred, known_settings, present_state, too_far
from pipeline.decide.results import Compared, Comparison, Forecast, SettingChoice
from pipeline.decide.safety import limits_now, settings_now, warnings_of
from pipeline.decide.trust_region import trust_region
from pipeline.decide.typed_setting import Known, read_setting
from pipeline.errors import RequestError, SlipledgerError
from pipeline.season.car_data import CarData
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import SafetyWarning
from pipeline.season.sums import Array
from pipeline.season.words import thousandths
from pipeline.workspace import ForecastAsked

NAMES = ("A", "B")


def compare(data: CarData, asked: ForecastAsked, typed: tuple[str, str]) -> Comparison:
    """Compare two settings under a forecast.

    Parameters
    ----------
    data
        The car's part of the store.
    asked
        The conditions, as for the next setting.
    typed
        Both settings as typed; what one leaves out is the setting in force.

    Raises
    ------
    ThinData
        With too few usable runs.
    RequestError
        When a condition or a setting cannot be read, or a setting typed is past a limit; all of it at once.
    """
    fit, limits, present = launch_fit(data), limits_now(data), settings_now(data)
    wrong: list[SlipledgerError] = []
    try:
        forecast = read_forecast(
            asked, runs=data.runs, weather=data.weather, track=data.track, garage=data.garage
        )
    except RequestError as error:
        wrong.append(error)
    factors = {factor.name: factor.kind for factor in fit.spec.factors if factor.is_setting}
    named = []
    for text in typed:
        setting, mistakes = read_setting(text, Known(data.garage, data.clutch, factors))
        wrong += [*mistakes, *_refused(fit, limits, setting)]
        named.append(setting)
    if wrong:
        raise _all_of(wrong)
    holding = holding_of(data.garage_car, data.clutch, data.worn_now_in)
    asking = _Asking(
        fit,
        ExpectedTime.of(fit),
        limits,
        {**known_settings(fit, present), **present},
        forecast,
        data.worn_now_in,
        holding if isinstance(holding, Holding) else None,
    )
    warnings = (*hotter_than_run(forecast, data.runs), *warnings_of(data))
    unknown = {doubt.adjustment for doubt in data.doubts} - {"wear"}
    left_out = [set(factors) - set(setting) for setting in named]
    if any(left and (unknown & left or "setup" in unknown) for left in left_out):
        return asking.in_question(named, unknown, warnings)
    return asking.answer(named, warnings)


def _all_of(wrong: list[SlipledgerError]) -> RequestError:
    """Say every mistake at once, each one once."""
    later = [{each.remedy for each in wrong[at + 1 :]} for at in range(len(wrong))]
    said = [
        error.problem if error.remedy in after else str(error)
        for error, after in zip(wrong, later, strict=True)
    ]
    return RequestError(" ".join([*dict.fromkeys(said[:-1]), wrong[-1].problem]), wrong[-1].remedy)


def _refused(fit: ResponseFit, limits: Limits, setting: Mapping[str, float]) -> list[SlipledgerError]:
    """Refuse what was typed past a limit, and another value of what never changed."""
    found: list[SlipledgerError] = []
    for name, value in setting.items():
        factor, limit = fit.spec.factor(name), limits.bounds.get(name)
        if limit is not None and not limit.allows(value):
            is_low = value < limit.low
            side, bound = ("below", limit.low) if is_low else ("above", limit.high)
            words, way = (limit.low_words, "least") if is_low else (limit.high_words, "most")
            found.append(
                RequestError(
                    f"{factor.label.capitalize()} of {limit.spoken(value)} is {side} "
                    f"{limit.spoken_end(bound)} ({words}), and nothing past a limit is compared.",
                    f"Give at {way} {limit.spoken_end(bound)}.",
                )
            )
        elif not factor.varies and abs(value - factor.reference) > SAME * max(1.0, abs(factor.reference)):
            found.append(
                RequestError(
                    f"{factor.label.capitalize()} never changed from {factor.kind.spoken(factor.reference)}, "
                    f"so nothing is known of {factor.kind.spoken(value)}.",
                    "Leave it out, or try it first: slipledger plan LOGBOOK.",
                )
            )
    return found


@dataclass(frozen=True, slots=True)
class _Asking:
    """What both settings are judged by; ``present`` is the whole setting in force, in own units."""

    fit: ResponseFit
    expected: ExpectedTime
    limits: Limits
    present: Mapping[str, float]
    forecast: Forecast
    wear_in: float | None
    holding: Holding | None

    def answer(self, named: list[dict[str, float]], warnings: tuple[SafetyWarning, ...]) -> Comparison:
        """Compare two settings of which everything is known."""
        wholes = [{**self.present, **setting} for setting in named]
        states = [present_state(self.fit, whole, self.forecast, self.wear_in) for whole in wholes]
        sides = [
            Compared(
                choice_at(self.expected, state, known_settings(self.fit, whole)),
                tuple(setting),
                self._against(whole, state),
            )
            for setting, whole, state in zip(named, wholes, states, strict=True)
        ]
        found = self.expected.difference(states[1], states[0])
        mean, low, high, chance = (
            float(v[0]) for v in (found.mean, found.low, found.high, found.prob_negative)
        )
        same = bool(np.abs(states[0] - states[1]).max(initial=0.0) <= SAME)
        return Comparison(
            response=self.fit.response,
            forecast=self.forecast,
            a=sides[0],
            b=sides[1],
            difference_s=mean,
            low_s=low,
            high_s=high,
            p_a_quicker=None if same else chance,
            sentence=_sentence(mean, chance, same=same) + _held_sentence(sides),
            warnings=warnings,
        )

    def in_question(
        self,
        named: list[dict[str, float]],
        unknown: set[str],
        warnings: tuple[SafetyWarning, ...],
    ) -> Comparison:
        """Answer with what is known of both settings, and with no time."""
        nan = float("nan")
        sure = {} if "setup" in unknown else {k: v for k, v in self.present.items() if k not in unknown}
        kept = set(self.fit.spec.names)
        sides = [
            Compared(
                SettingChoice({k: v for k, v in {**sure, **setting}.items() if k in kept}, nan, nan, nan),
                tuple(setting),
                (),
            )
            for setting in named
        ]
        return Comparison(
            response=self.fit.response,
            forecast=self.forecast,
            a=sides[0],
            b=sides[1],
            difference_s=nan,
            low_s=nan,
            high_s=nan,
            p_a_quicker=None,
            sentence="Nothing is compared: the present setting is in question. Answer that entry, or give "
            "every setting of both, and ask again.",
            warnings=warnings,
        )

    def _against(self, whole: Mapping[str, float], state: Array) -> tuple[str, ...]:
        """Say what speaks against running a setting; nothing when it may be run."""
        said = [warning.text for warning in self.limits.broken(whole).values()]
        said += [
            sentence
            for name, sentence in self.limits.missing.items()
            if name in self.present and abs(whole[name] - self.present[name]) > SAME
        ]
        if self.holding is not None and self.holding.locks(whole) is False:
            said.append(
                f"With the least friction the clutch would hold {self.holding.of(whole):.0f} lb-ft worn in, "
                f"less than the engine's {self.holding.engine_lb_ft:.0f} lb-ft at {self.holding.rpm:.0f} rpm."
            )
        here = present_state(self.fit, self.present, self.forecast, self.wear_in)
        if not trust_region(self.fit, here).holds(state)[0]:
            said.append("These settings together lie farther out than what was run: its times are a guess.")
        return (*said, *(f"Nothing is known of {far}." for far in too_far(self.fit, self.forecast)))


def _sentence(difference_s: float, chance: float, *, same: bool) -> str:
    if same:
        return "Both are the same setting."
    (first, second), chance = (NAMES, chance) if difference_s <= 0 else (NAMES[::-1], 1 - chance)
    return (
        f"{first} is expected {thousandths(abs(difference_s))} thousandths quicker than {second}, with "
        f"{in_hundred(chance)} chances in a hundred to be quicker."
    )


def _held_sentence(sides: list[Compared]) -> str:
    held = [name for name, side in zip(NAMES, sides, strict=True) if side.against]
    if not held:
        return ""
    who = f"{held[0]} is" if len(held) == 1 else "Neither is"
    return f" {who} {'not ' if len(held) == 1 else ''}advised: see below."
