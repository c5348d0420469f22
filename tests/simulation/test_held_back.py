"""The study of what holds the gain back: what it calls the truth is the most that any advice can hold."""

import pytest

from tests.simulation import held_back
from tests.simulation.held_back import Case, best_allowed_s, held_s, planned

QUICK = "timid"
"""A world without the table of motions, which takes minutes to make."""


def test_no_advice_beats_the_truth_and_more_is_known_after_a_plan(monkeypatch, capsys):
    monkeypatch.setattr(held_back, "KNOWN", {"the season": (0, planned), "a plan": (1, planned)})
    feasible, found = held_s(QUICK, 1)
    for known in held_back.KNOWN:
        assert max(found[known, how] for how in held_back.RISKS) <= found[known, "truth"] + 1e-9
        assert 0 <= found[known, "truth"] <= feasible
    assert found["the season", "truth"] < found["a plan", "truth"]  # what is tried counts as near
    monkeypatch.setattr(held_back, "held_s", lambda _kind, _seed: (feasible, found))
    held_back.main([1], [QUICK])
    assert capsys.readouterr().out.count("\n") == 2 + len(held_back.KNOWN)


def test_the_nights_that_are_added_have_the_settings_they_were_given():
    case = Case(QUICK, 1)
    season = case.after(2, held_back.near_by)
    assert season.runs.height == case.season.runs.height + 2 * held_back.RUNS
    assert season.present == case.start
    given = held_back.near_by(case, 1)
    assert season.runs["launch_rpm"].tail(len(given)).to_list() == [one["launch_rpm"] for one in given]
    assert min(case.gains_s(given)) > -held_back.NEAR_COST_S
    assert case.gains_s([case.start])[0] == pytest.approx(0.0, abs=1e-12)
    assert best_allowed_s(case, case.loop.fit()) <= case.feasible_s
