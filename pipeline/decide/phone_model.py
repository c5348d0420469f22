"""What the phone page computes with: the fitted 60 ft time, the limits and the rules, as plain data.

The page knows no adjustment by name: it is told features, columns and limits, and does with them what
:mod:`pipeline.season.expected_time` and :mod:`pipeline.decide.next_setting` do.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.special import ndtri

from pipeline.decide import setting_search as search
from pipeline.decide.dash import rpm_to_choose
from pipeline.decide.holding import Holding, held_sentence, holding_of, unchecked_sentence
from pipeline.decide.limits import SAME, Limit, Limits
from pipeline.decide.next_setting import FAR_DEGF, known_settings, movable, no_suggestion, present_state
from pipeline.decide.results import PhoneModel
from pipeline.decide.safety import limits_now, settings_now, warnings_of
from pipeline.decide.trust_region import trust_region
from pipeline.decide.untried import TOGETHER, tried_between
from pipeline.physics.air import DRY_AIR_J_PER_KG_K, WATER_VAPOR_J_PER_KG_K
from pipeline.physics.constants import INHG_PA, ZERO_CELSIUS_K
from pipeline.physics.vapor import BUCK_A_PA, BUCK_B, BUCK_C_DEGC, BUCK_D_DEGC
from pipeline.season import regimes
from pipeline.season.car_data import CarData
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.response_fit import ResponseFit
from pipeline.season.results import Z95, Risk
from pipeline.season.room import ROOM_S
from pipeline.season.spec import AIR, LOAD, Spec
from pipeline.season.sums import Array

INTERCEPT = -1
"""Stands for the column of ones where features are named by their place."""

GAS = {
    "buck": (BUCK_A_PA, BUCK_B, BUCK_C_DEGC, BUCK_D_DEGC),
    "dry_air": DRY_AIR_J_PER_KG_K,
    "water_vapor": WATER_VAPOR_J_PER_KG_K,
    "inhg_pa": INHG_PA,
    "zero_celsius_k": ZERO_CELSIUS_K,
}
RULES = {
    "worth_s": search.WORTH_S,
    "same": SAME,
    "most_candidates": search.MOST_CANDIDATES,
    "rounds": search.ROUNDS,
    "quantile": Z95,
    "far_degf": FAR_DEGF,
}


def phone_model(data: CarData, fit: ResponseFit, risk: Risk = "cautious") -> PhoneModel:
    """Return everything the page needs of one car.

    Parameters
    ----------
    data
        The car's part of the store.
    fit
        Its 60 ft time.
    risk
        What a suggestion may take, as for the next setting.
    """
    limits, present = limits_now(data), settings_now(data)
    if any(doubt.adjustment == "wear" for doubt in data.doubts):
        limits = limits.without_preload("its least turns depend on a clutch check that is in question")
    document = {
        **fitted_document(fit),
        "in_question": data.setting_in_question,
        "air": {"of": _place(fit.spec, "air_density"), **GAS},
        "rules": {
            **RULES,
            "gate": search.gate_of(risk),
            "gate_sd": float(ndtri(search.gate_of(risk))),
            "together": TOGETHER,
            "caution_sd": search.caution_of(risk),
        },
        "track": _track(data, fit),
        **({} if data.setting_in_question else _setting(data, fit, limits, present)),
        "bounds": {name: _limit(limit) for name, limit in limits.bounds.items()},
        "missing": limits.missing,
        "warnings": [warning.text for warning in warnings_of(data)],
    }
    return PhoneModel(json.dumps(_plain(document), ensure_ascii=False, allow_nan=False))


# --- the fitted time


def fitted_document(fit: ResponseFit) -> dict[str, Any]:
    """Describe a fitted time: factors, features, columns, what is known of their coefficients.

    Features are named by their place: the factors first, then what is derived from them.
    """
    expected, spec = ExpectedTime.of(fit), fit.spec
    p = len(spec.columns)
    return {
        "centre_s": fit.centre_s,
        "factors": [
            {
                "name": f.name,
                "label": f.label,
                "units": [f.kind.spoken(value).partition(" ")[2] for value in (1, 2)],
                "decimals": f.kind.decimals,
                "step": f.step,
                "reference": f.reference,
                "is_setting": f.is_setting,
                "varies": f.varies,
                "spread": spread,
            }
            for f, spread in zip(spec.factors, expected.spread, strict=True)
        ],
        "derived": _derived(spec),
        "columns": [{"of": column.features, "powers": column.powers} for column in spec.columns],
        "mean": expected.mean[:p],
        "cov": _triangle(expected.cov[:p, :p]),
        "room": {"of": expected.room_factors, "size_s": ROOM_S},
        "wrong": _wrong(fit),
    }


def _derived(spec: Spec) -> list[dict[str, Any]]:
    """Describe strain and plate load at launch as polynomials in the factors' own units.

    Strain is divided by launch rpm and air as shares of their references. Nothing where neither is used.
    """
    clutch = spec.clutch
    if clutch is None:
        return []
    turns, grams, rpm = (spec.index(name) for name in ("preload", "counterweight", "launch_rpm"))
    usual, spin = spec.factors[rpm].reference ** 2, clutch.lb_per_g_rpm2
    static: list[tuple[float, list[int]]] = [(clutch.lb_per_turn, [turns])]
    if "wear" in spec.names:
        static.append((clutch.wear_sign * clutch.spring_rate_lb_per_in, [spec.index("wear")]))
    whole = clutch.base_load_lb + spin * usual * clutch.lever_mass_g
    power = [rpm, *([spec.index(AIR)] if AIR in spec.names else [])]
    at_launch = [(spin * clutch.lever_mass_g, [rpm, rpm]), (spin, [grams, rpm, rpm])]
    return [
        {"terms": [*static, (whole, []), (spin * usual, [grams])], "over": power, "per": clutch.lb_per_turn},
        {"terms": [*static, *at_launch], "over": [], "per": clutch.lb_per_turn},
    ]


def _wrong(fit: ResponseFit) -> dict[str, Any] | None:
    found, spec = fit.regimes, fit.spec
    if found is None:
        return None
    places = {"intercept": INTERCEPT, LOAD: len(spec.factors) + 1}
    return {
        "of": [places[n] if n in places else spec.index(n) for n in regimes.feature_names(spec)],
        "weights": found.weights,
        "covs": [_triangle(cov) for cov in found.covs],
        "loss_s": found.loss_s,
        "loss_log_sd": found.loss_log_sd,
    }


def _triangle(square: Array) -> Array:
    """Return a symmetric matrix's lower triangle, row by row."""
    half: Array = square[np.tril_indices(len(square))]
    return half


# --- the setting, its limits, where to look


def _track(data: CarData, fit: ResponseFit) -> dict[str, Any]:
    """Give the track temperatures run so far: those of the fit, and the hottest of any run."""
    i, ends = _place(fit.spec, "track_temp"), None
    if i is not None:
        factor, steps = fit.spec.factors[i], fit.state[:, i]
        ends = [factor.reference + factor.step * float(end) for end in (steps.min(), steps.max())]
    return {"of": i, "ran": ends, "hottest": data.runs["track_temp_degf"].max()}


def _place(spec: Spec, name: str) -> int | None:
    return spec.index(name) if name in spec.names else None


def _setting(data: CarData, fit: ResponseFit, limits: Limits, present: Mapping[str, float]) -> dict[str, Any]:
    settings = known_settings(fit, present)
    whole = {**settings, **present}
    holding = holding_of(data.garage_car, data.clutch, data.worn_now_in)
    checked = holding if isinstance(holding, Holding) else None
    about = _About(fit, limits, settings, whole, checked, data.worn_now_in)
    rpm = rpm_to_choose(fit, limits)
    return {
        "base": present_state(fit, settings, None, data.worn_now_in),
        "present": settings,
        "whole": whole,
        "past": {name: warning.text for name, warning in limits.broken(whole).items()},
        "region": about.region(settings),
        "modes": {name: about.mode(quick_only=quick) for name, quick in (("all", False), ("quick", True))},
        "holding": None if checked is None or checked.of(whole) is None else _holding(checked, whole),
        "unchecked": held_sentence(holding, whole, whole)
        if isinstance(holding, Holding)
        else unchecked_sentence(holding),
        "rpm": None
        if rpm is None
        else {"of": fit.spec.index("launch_rpm"), "steps": rpm.steps, "held": rpm.held},
    }


@dataclass(frozen=True, slots=True)
class _About:
    """What a search begins from, for each way of asking."""

    fit: ResponseFit
    limits: Limits
    settings: Mapping[str, float]
    whole: Mapping[str, float]
    holding: Holding | None
    wear_in: float | None

    def region(self, settings: Mapping[str, float]) -> dict[str, Any]:
        """Describe what the runs can vouch for, a setting included."""
        here = present_state(self.fit, settings, None, self.wear_in)
        found = trust_region(self.fit, here)
        return {"of": found.factors, "centre": found.centre, "inverse": found.inverse, "limit": found.limit}

    def mode(self, *, quick_only: bool) -> dict[str, Any]:
        """Describe where the search starts, what it may move and to which values."""
        fit = self.fit
        legal = self.limits.smallest_legal(self.whole, quick_only=quick_only)
        shown = {**self.settings, **{name: self.whole[name] for name in self.limits.broken(self.whole)}}
        start = shown if legal is None else {name: legal[name] for name in shown}
        moves = [] if legal is None else movable(fit, self.limits, quick_only=quick_only)
        return {
            "start": start,
            "is_legal": legal is not None,
            "holds": self.holding is None or legal is None or self.holding.locks(legal) is not False,
            "moves": [
                {
                    "limit": limit.name,
                    "of": fit.spec.index(limit.name),
                    "values": limit.settable(start[limit.name]),
                    "ran": tried_between(fit, limit.name),
                }
                for limit in moves
            ],
            "region_limit": self.region(start)["limit"],
            "tried_limit": trust_region(fit, present_state(fit, start, None, self.wear_in)).limit,
            "no_suggestion_for": no_suggestion(fit, self.limits, quick_only=quick_only),
        }


def _limit(limit: Limit) -> dict[str, Any]:
    return {
        "label": limit.label,
        "units": [limit.spoken(value).partition(" ")[2] for value in (1, 2)],
        "low": limit.low,
        "high": limit.high,
        "low_words": limit.low_words,
        "high_words": limit.high_words,
        "grid": limit.grid,
        "reach": limit.reach,
        "pieces": {f"{value:g}": limit.pieces(value) for value in limit.stacks or ()},
    }


def _holding(holding: Holding, whole: Mapping[str, float]) -> dict[str, Any]:
    """Describe what the clutch holds: so much of a static load, never below nil, and of the levers' load."""
    return {
        "rpm": holding.rpm,
        "engine_lb_ft": holding.engine_lb_ft,
        "per_lb": holding.lb_ft_per_lb,
        "static_lb": holding.base_lb - holding.lost_lb,
        "levers_lb": holding.levers_lb,
        "static_by": [[holding.lb_per_turn, "preload", whole["preload"]]],
        "levers_by": [[holding.lb_per_g, "counterweight", whole["counterweight"]]],
    }


def _plain(value: Any) -> Any:
    """Make a document plain; what is not finite (no limit there) becomes null."""
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, np.ndarray):
        return _plain(value.tolist())
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, np.generic):
        value = value.item()
    return None if isinstance(value, float) and not math.isfinite(value) else value
