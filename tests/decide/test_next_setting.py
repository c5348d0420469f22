"""The next setting: the search against brute force, the gate, the limits said, staying said honestly."""

from functools import cache

import numpy as np
import pytest

from pipeline.decide import next_setting, setting_search
from pipeline.decide.limits import car_limits
from pipeline.decide.next_setting import in_hundred, present_state, suggest_next
from pipeline.decide.results import Forecast
from pipeline.decide.setting_search import CAUTION_SD, WORTH_S
from pipeline.decide.trust_region import trust_region
from pipeline.garage.logbook import Garage
from pipeline.season.expected_time import ExpectedTime
from pipeline.season.in_force import Doubt, present_settings
from pipeline.season.response_fit import fit_response
from tests.decide.decision_worlds import GARAGE
from tests.season.seasons import FACTS, Truth, season

STRONG = Truth(preload=-0.010, counterweight=-0.006, rpm_curve=0.0015)


def forecast(temp=95.0) -> Forecast:
    return Forecast(None, temp, None, None, None, None, None, ())


@cache
def fitted(seed=2, **options):
    return fit_response(season(seed, truth=options.pop("truth", STRONG), **options), FACTS)


@cache
def flat():
    """A season in which nothing does anything."""
    null = Truth(preload=0.0, counterweight=0.0, rpm_curve=0.0, rpm_by_temp=0.0, temp=0.0)
    return fit_response(season(5, truth=null), FACTS)


def limits(fit, garage=GARAGE):
    return car_limits(garage, "Marigold", fit.runs)


def without(*lines: str) -> Garage:
    parts = GARAGE.model_dump(by_alias=True)
    for table in ("car", "clutch", "adjustment"):
        kept = {
            key: value for key, value in parts[table][0].items() if key not in lines and value is not None
        }
        parts[table] = [kept]
    return Garage.model_validate(parts)


def present(fit):
    return present_settings(fit.runs, None, ["shock_clicks"])


def suggest(fit, now=None, temp=95.0, garage=GARAGE, **options):
    return suggest_next(fit, limits(fit, garage), now or present(fit), forecast(temp), **options)


def test_search_finds_what_trying_everything_finds(monkeypatch):
    monkeypatch.setattr(setting_search, "_weakest_move", lambda *_: None)
    fit = fitted()
    now = present(fit)
    here = next_setting.present_state(fit, now, forecast())
    moved = [limit for limit in limits(fit).by_name.values() if fit.spec.factor(limit.name).varies]
    best, expected = 0.0, ExpectedTime.of(fit)
    grids = [limit.settable(now[limit.name]) for limit in moved]
    region, rows = (
        trust_region(fit, here),
        np.array(np.meshgrid(*grids)).reshape(len(moved), -1).T,
    )
    for row in rows[::7]:  # every seventh: tens of thousands one by one take too long
        state = here.copy()
        for limit, value in zip(moved, row, strict=True):
            factor = fit.spec.factor(limit.name)
            state[fit.spec.index(limit.name)] = (value - factor.reference) / factor.step
        if region.holds(state[None])[0]:
            mean, sd = expected.change(here, state)
            changed = (np.abs(state - here) > 1e-9).sum()
            best = min(best, mean[0] + CAUTION_SD * sd[0] + WORTH_S * changed)
    found = suggest(fit)
    sd = CAUTION_SD * (found.gain_high_s - found.gain_low_s) / 3.92
    changed = sum(found.change_to.settings[name] != found.stay.settings[name] for name in now)
    assert found.gain_s + sd + WORTH_S * changed <= best + 2e-4  # the interval is only nearly 3.92 sd wide


def test_searching_in_blocks_ends_where_searching_at_once_does(monkeypatch):
    whole = suggest(fitted())
    monkeypatch.setattr(setting_search, "MOST_CANDIDATES", 1500)
    parts = suggest(fitted())
    assert parts.gain_s == pytest.approx(whole.gain_s, abs=1e-3)


def test_chance_and_interval_are_those_of_the_difference():
    fit = fitted()
    found = suggest(fit)
    states = [next_setting.present_state(fit, c.settings, forecast()) for c in (found.stay, found.change_to)]
    gain = ExpectedTime.of(fit).difference(*states)
    assert found.gain_s == pytest.approx(gain.mean[0], abs=1e-9)
    assert (found.gain_low_s, found.gain_high_s) == pytest.approx((gain.low[0], gain.high[0]), abs=1e-9)
    assert found.p_better == pytest.approx(gain.prob_negative[0], abs=1e-9)
    assert found.change_to.expected_s - found.stay.expected_s == pytest.approx(found.gain_s, abs=1e-9)


def test_interval_of_one_run_holds_run_noise_and_the_unseen_event():
    fit = fitted()
    found = suggest(fit)
    half = (found.stay.high_s - found.stay.low_s) / 2
    noise = fit.posterior.typical(fit.posterior.noise**2) + fit.posterior.typical(fit.posterior.tau**2)
    assert half > 1.96 * np.sqrt(noise) * 0.98


def test_nothing_matters_then_stay():
    found = suggest(flat())
    assert found.change_to is None
    assert found.p_better is None
    assert found.gain_s == 0.0
    assert found.sentence.startswith("Stay:")


def test_below_nine_chances_in_ten_nothing_is_offered(monkeypatch):
    assert suggest(fitted()).change_to is not None
    monkeypatch.setattr(setting_search, "GATE", 1 - 1e-12)
    unsure = suggest(fitted())
    assert unsure.change_to is None
    assert "no change near the present setting has nine chances in ten" in unsure.sentence


def test_quick_only_leaves_the_clutch_alone():
    found = suggest(fitted(), temp=112.0, quick_only=True)
    assert found.change_to is not None
    for name in ("preload", "counterweight", "shock_clicks"):
        assert found.change_to.settings[name] == found.stay.settings[name]
    assert found.change_to.settings["launch_rpm"] != found.stay.settings["launch_rpm"]


def test_a_hotter_track_lowers_the_rpm_and_a_cooler_one_raises_it():
    fit = fitted()
    now = present(fit) | {"launch_rpm": 6000.0}
    hot, cool = (suggest(fit, now=now, temp=temp, quick_only=True, risk="even") for temp in (120.0, 78.0))
    assert hot.change_to.settings["launch_rpm"] < 6000 < cool.change_to.settings["launch_rpm"]


@pytest.mark.parametrize(
    ("line", "adjustment"),
    [
        ("launch_rpm_limits", "launch_rpm"),
        ("counterweight_limits", "counterweight"),
        ("safe_turns", "preload"),
        ("limits", "shock_clicks"),
    ],
)
def test_without_its_line_an_adjustment_stays_and_the_line_is_named(line, adjustment):
    found = suggest(fitted(), garage=without(line))
    assert any(line in sentence for sentence in found.no_suggestion_for)
    if found.change_to is not None:
        assert found.change_to.settings[adjustment] == found.stay.settings[adjustment]


def test_no_limits_at_all_is_stay_with_the_reason():
    found = suggest(fitted(), garage=Garage.model_validate({}))
    assert found.change_to is None
    assert "no adjustment that has a limit" in found.sentence
    assert len(found.no_suggestion_for) == 4


def test_what_never_changed_is_named_and_left():
    found = suggest(fitted())
    assert any("tire pressure: it never changed" in sentence for sentence in found.no_suggestion_for)


def test_a_limit_that_stops_it_is_named():
    fit = fitted()
    parts = GARAGE.model_dump(by_alias=True, exclude_none=True)
    now = present(fit) | {"preload": 3.0}
    parts["clutch"][0]["safe_turns"] = 3.25
    tight = suggest(fit, now=now, garage=Garage.model_validate(parts))
    assert tight.change_to.settings["preload"] == 3.25
    assert "safe_turns 3.25" in tight.limited_by


def test_past_a_limit_the_answer_is_to_come_inside_first():
    fit = fitted()
    now = present(fit) | {"preload": 6.5}
    found = suggest(fit, now=now)
    assert [warning.kind for warning in found.warnings] == ["safe_turns"]
    assert "6.5 turns is above 6 turns (safe_turns 6)" in found.warnings[0].text
    assert found.change_to.settings["preload"] <= 6.0
    assert found.gain_s < 0
    assert f"{abs(1000 * found.gain_s):.1f} thousandths quicker than that alone" in found.sentence


def test_from_inside_the_limit_the_search_goes_on_as_ever():
    fit = fitted(4)  # where a move that does not earn its place is the most cautious
    past, inside = (suggest(fit, now=present(fit) | {"preload": turns}) for turns in (6.5, 6.0))
    assert past.change_to.settings == (inside.change_to or inside.stay).settings
    assert past.gain_s == pytest.approx(inside.gain_s)


def test_with_the_clutch_check_in_question_the_preload_is_left_alone():
    fit = fitted()
    found = suggest(fit, doubts=(Doubt("wear", "Row 3 of checks.csv says 3.250 in.", 3.25),))
    assert any("clutch check that is in question" in line for line in found.no_suggestion_for)
    assert found.change_to is None or found.change_to.settings["preload"] == found.stay.settings["preload"]
    assert "the present setting is in question" not in found.sentence
    other = suggest(fit, doubts=(Doubt("launch_rpm", "Row 9 of slips.csv says 620.", 620.0),))
    assert other.sentence.startswith("Nothing is suggested: the present setting is in question")


def test_the_wear_counted_is_that_of_the_last_run():
    fit = fitted()
    at, factor = fit.spec.index("wear"), fit.spec.factor("wear")
    worn = fit.runs["wear_in"]
    assert worn[-1] != worn[1]
    assert present_state(fit, present(fit))[at] == pytest.approx((worn[-1] - factor.reference) / 0.010)
    assert present_state(fit, present(fit), wear_in=0.05)[at] == pytest.approx(
        (0.05 - factor.reference) / 0.010
    )


def test_past_a_clutch_limit_nothing_quick_is_offered():
    found = suggest(fitted(), now=present(fitted()) | {"preload": 6.5}, quick_only=True)
    assert found.change_to is None
    assert "safe_turns 6" in found.warnings[0].text
    assert not found.sentence.startswith("Stay")


def test_a_track_far_from_all_run_so_far_is_stay():
    found = suggest(fitted(), temp=170.0)
    assert found.change_to is None
    assert "170 degF" in found.limited_by[0]
    assert "nothing is known of a track of 170 degF" in found.sentence


def test_one_more_adjustment_must_be_worth_its_trouble(monkeypatch):
    few = suggest(fitted())
    monkeypatch.setattr(setting_search, "WORTH_S", 0.0)
    many = suggest(fitted())
    assert changes(few) <= changes(many)
    monkeypatch.setattr(setting_search, "WORTH_S", 1.0)
    assert suggest(fitted()).change_to is None


def changes(found) -> int:
    return sum(v != found.stay.settings[name] for name, v in found.change_to.settings.items())


def test_of_several_moves_each_earns_its_place():
    fit = fitted()
    found = suggest(fit)
    best = next_setting.present_state(fit, found.change_to.settings, forecast())
    here = next_setting.present_state(fit, found.stay.settings, forecast())
    moved = np.flatnonzero(np.abs(best - here) > 1e-9)
    assert moved.size > 1
    for i in moved:
        back = best.copy()
        back[i] = here[i]
        share = ExpectedTime.of(fit).difference(back, best)
        assert share.mean[0] <= -WORTH_S


@pytest.mark.parametrize("seed", range(8))
def test_no_single_move_is_better_than_what_is_suggested(seed):
    # Taking out weak moves of a suggestion of many must not lose a good one of a single adjustment.
    fit = fitted(seed, runs=60, events=6, truth=Truth(preload=-0.006, counterweight=-0.002, rpm_curve=0.0005))
    found, now = suggest(fit), present(fit)
    here = next_setting.present_state(fit, now, forecast())
    region, expected = trust_region(fit, here), ExpectedTime.of(fit)

    def cautious(settings):
        state = next_setting.present_state(fit, settings, forecast())
        mean, sd = expected.change(here, state)
        moves = sum(settings[name] != now[name] for name in now)
        return state, mean[0] + CAUTION_SD * sd[0] + WORTH_S * moves

    chosen = cautious(now)[1] if found.change_to is None else cautious(found.change_to.settings)[1]
    for name, limit in limits(fit).by_name.items():
        for value in limit.settable(now[name]) if fit.spec.factor(name).varies else ():
            state, score = cautious(now | {name: value})
            sure = expected.difference(here, state).prob_negative[0] >= setting_search.GATE
            assert not region.holds(state[None])[0] or not sure or score >= chosen - 1e-9


def test_no_move_is_made_only_to_come_nearer_to_what_was_tried():
    # At the rim of the region, moving a setting that does nothing to the middle would buy room for others.
    fit = fitted(6, truth=Truth(preload=-0.008, counterweight=0.0, rpm_curve=0.001))
    rim = present(fit) | {"preload": float(fit.runs["preload_turns"].max()), "shock_clicks": 10.0}
    found = suggest(fit, now=rim)
    assert found.change_to is None or not changed(found, "shock_clicks")


def test_an_adjustment_that_does_nothing_is_seldom_moved():
    moved = []
    for seed in range(12):
        found = suggest(fitted(seed, runs=80, events=8))
        moved.append(found.change_to is not None and changed(found, "shock_clicks"))
    assert sum(moved) <= 3  # the shock does nothing in these seasons


def changed(found, name) -> bool:
    return found.change_to.settings[name] != found.stay.settings[name]


def test_sentence_says_each_move_with_hardware():
    parts = GARAGE.model_dump(by_alias=True, exclude_none=True)
    parts["clutch"][0]["counterweight_hardware"] = {"steel bolt": 3.0, "steel nut": 1.5}
    fit = fitted()
    found = suggest(fit, now=present(fit) | {"counterweight": 3.0}, garage=Garage.model_validate(parts))
    assert found.change_to.settings["counterweight"] in {4.5}
    assert (
        "raise counterweight from 3 to 4.5 g (steel bolt and steel nut on each lever)"
        in found.sentence.lower()
    )
    assert "than staying is expected" in found.sentence


def test_certainty_is_never_claimed():
    found = suggest(fitted())
    assert found.p_better > 0.995  # would round to 100
    assert "with 99 chances in a hundred" in found.sentence
    assert [in_hundred(chance) for chance in (0.001, 0.5, 0.934, 0.999)] == ["1", "50", "93", "99"]
