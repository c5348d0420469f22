"""The exchange search on plain arrays: right variances, textbook designs, never outside what is allowed."""

import numpy as np
import pytest

from pipeline.decide.exchange import Dial, Knowledge, exchange

ROUNDING = 1e-12


def knowledge(p=3, noise=1.0, event=0.0, slope=0.0, seed=0) -> Knowledge:
    root = np.random.default_rng(seed).normal(size=(p, p + 2))
    return Knowledge(root @ root.T, np.eye(p)[1:], noise, event, slope)


def test_variances_are_those_of_adding_the_information():
    rng = np.random.default_rng(1)
    known = knowledge(4, noise=0.7, event=0.3, slope=0.2)
    rows, slopes = rng.normal(size=(5, 6, 4)), rng.normal(size=(5, 6, 2))
    for design in range(5):
        v = 0.7 * np.eye(6) + 0.3 + 0.2 * slopes[design] @ slopes[design].T
        after = np.linalg.inv(np.linalg.inv(known.cov) + rows[design].T @ np.linalg.inv(v) @ rows[design])
        got = known.variances(rows, slopes)[design]
        assert got == pytest.approx(np.diag(after)[1:], abs=ROUNDING)


def test_more_runs_never_teach_less():
    rng = np.random.default_rng(2)
    known = knowledge(4, event=0.5, slope=0.1)
    rows, slopes = rng.normal(size=(1, 8, 4)), rng.normal(size=(1, 8, 2))
    before = known.variances(rows[:, :5], slopes[:, :5])
    assert (known.variances(rows, slopes) <= before + ROUNDING).all()


def vague(p: int) -> Knowledge:
    return Knowledge(1e4 * np.eye(p), np.eye(p)[1:], 1.0, 0.0, 0.0)


def columns(designs):
    return np.concatenate([np.ones((*designs.shape[:2], 1)), designs], axis=2)


def search(known, dials, runs, factors, allowed=None, seed=3):
    def criterion(designs):
        return known.variances(columns(designs), designs).sum(1)

    allowed = allowed or (lambda states: np.ones(len(states), dtype=bool))
    start = np.zeros((runs, factors))
    return exchange(dials, start, criterion, allowed, seed), criterion


def test_four_runs_of_two_factors_are_the_full_factorial():
    # A-optimal for a first-order model: the 2^2 factorial, variance sigma^2/4 each (any textbook).
    levels = np.array([-1.0, -0.5, 0.0, 0.5, 1.0])
    dials = tuple(Dial(column, levels, np.array([run])) for column in (0, 1) for run in range(4))
    found, criterion = search(vague(3), dials, 4, 2)
    assert sorted(map(tuple, found)) == [(-1, -1), (-1, 1), (1, -1), (1, 1)]
    assert criterion(found[None])[0] == pytest.approx(0.5, rel=1e-3)


def test_runs_of_a_block_share_the_slow_setting():
    levels = np.array([-1.0, 0.0, 1.0])
    blocks = [np.array([0, 1, 2]), np.array([3, 4, 5])]
    dials = (
        *(Dial(0, levels, block) for block in blocks),
        *(Dial(1, levels, np.array([run])) for run in range(6)),
    )
    found, _ = search(vague(3), dials, 6, 2)
    assert [len(set(found[block, 0])) for block in blocks] == [1, 1]
    assert set(found[:, 0]) == {-1.0, 1.0}


def test_what_is_not_allowed_is_never_chosen():
    levels = np.array([-1.0, 0.0, 1.0])
    dials = tuple(Dial(column, levels, np.array([run])) for column in (0, 1) for run in range(4))
    found, _ = search(vague(3), dials, 4, 2, allowed=lambda states: np.abs(states).sum(1) < 1.5)
    assert (np.abs(found).sum(1) < 1.5).all()


def test_the_same_seed_gives_the_same_design():
    levels = np.array([-1.0, -0.5, 0.5, 1.0])
    dials = tuple(Dial(column, levels, np.array([run])) for column in (0, 1, 2) for run in range(5))
    one, two = (search(knowledge(4), dials, 5, 3, seed=9)[0] for _ in range(2))
    assert np.array_equal(one, two)
