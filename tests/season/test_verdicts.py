"""Verdicts: Holm and Wald against reference libraries, and the three answers on built cases."""

import numpy as np
import pytest
from scipy.stats import chi2
from statsmodels.stats.multitest import multipletests

from pipeline.season.verdicts import correlation, holm, judge, smallest_shown, together, wald_p

# Benjamini & Hochberg, JRSS B 57 (1995) 289-300, section 4 example [seen].
EXAMPLE = [
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344,
    0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0000,
]  # fmt: skip
ROWS = np.eye(2)


@pytest.mark.parametrize("seed", range(40))
def test_holm_equals_the_reference_library(seed: int) -> None:
    rng = np.random.default_rng(seed)
    p_values = np.round(rng.random(rng.integers(1, 13)) ** 3, 2)  # rounding makes ties
    assert holm(p_values) == pytest.approx(multipletests(p_values, method="holm")[1], abs=1e-12)


def test_holm_rejects_three_of_the_published_example() -> None:
    assert (holm(np.array(EXAMPLE)) < 0.05).sum() == 3


def test_wald_is_the_chi_square_of_the_standardised_contrasts() -> None:
    mean, cov = np.array([2.0, -1.0]), np.diag([1.0, 0.25])
    assert wald_p(ROWS, mean, cov) == pytest.approx(chi2(2).sf(4 + 4), rel=1e-10)


def test_repeated_and_empty_contrasts_change_nothing() -> None:
    mean, cov = np.array([2.0, -1.0]), np.diag([1.0, 0.25])
    padded = np.vstack([ROWS, ROWS[:1], np.zeros((1, 2))])
    assert wald_p(padded, mean, cov) == pytest.approx(wald_p(ROWS, mean, cov), rel=1e-8)
    assert wald_p(np.zeros((2, 2)), mean, cov) == 1.0


def verdicts(mean, cov):
    contrasts = [ROWS[:1], ROWS[1:]]
    return judge(contrasts, ROWS, np.array(mean), np.array(cov))


def test_a_clear_effect_moved_and_an_absent_one_gives_no_sign() -> None:
    first, second = verdicts([5.0, 0.1], [[1.0, 0.0], [0.0, 1.0]])
    assert (first.verdict, second.verdict) == ("moved", "no_sign")
    assert second.partners == ()


def test_a_tight_sum_of_two_loose_ones_is_inseparable() -> None:
    first, second = verdicts([3.0, 3.0], [[9.0, -8.9], [-8.9, 9.0]])
    assert (first.verdict, second.verdict) == ("inseparable", "inseparable")
    assert (first.partners, second.partners) == ((1,), (0,))


def test_tangled_but_empty_names_the_partner_without_a_claim() -> None:
    first, _ = verdicts([0.1, 0.1], [[9.0, -8.5], [-8.5, 9.0]])
    assert (first.verdict, first.partners) == ("no_sign", (1,))


def test_one_that_moved_is_no_partner_of_an_inseparable_one() -> None:
    first, second = verdicts([30.0, 3.0], [[9.0, -6.0], [-6.0, 9.0]])
    assert first.verdict == "moved"
    assert second.verdict == "no_sign"


def test_correlation_of_a_constant_contrast_is_zero() -> None:
    assert correlation(np.array([[1.0, 0.0], [0.0, 0.0]]), np.eye(2))[0, 1] == 0.0


def one_row_each(mean, sd, correlation=0.0):
    cov = np.array([[sd[0] ** 2, correlation * sd[0] * sd[1]], [correlation * sd[0] * sd[1], sd[1] ** 2]])
    return [np.eye(2)[:1], np.eye(2)[1:]], np.eye(2), np.array(mean), cov


def test_a_sure_sign_that_does_not_pass_the_correction_is_likely():
    found = judge(*one_row_each([0.0021, 0.0], [0.001, 0.001]), sure=np.array([0.986, 0.6]))
    assert [one.verdict for one in found] == ["likely", "no_sign"]
    assert judge(*one_row_each([0.0021, 0.0], [0.001, 0.001]))[0].verdict == "no_sign"


def test_two_that_never_moved_apart_are_never_split():
    locked = np.array([[True, True], [True, True]])
    found = judge(*one_row_each([0.02, 0.0], [0.001, 0.001]), sure=np.array([1.0, 0.5]), locked=locked)
    assert [one.verdict for one in found] == ["inseparable", "inseparable"]
    assert [one.partners for one in found] == [(1,), (0,)]


@pytest.mark.parametrize("p", [1e-200, 1e-14, 1e-6, 0.02, 0.5, 0.999])
def test_equal_tests_together_say_what_each_says(p):
    assert together(np.array([p, p])) == pytest.approx(p, rel=1e-6)


@pytest.mark.parametrize(("pieces", "learnt"), [(1, 0.99), (2, 0.99), (2, 0.6)])
def test_an_effect_of_the_smallest_size_shown_is_called_moved_four_times_in_five(pieces, learnt):
    rng, rows, tries = np.random.default_rng(pieces), 4, 1000
    tested = [np.array([[1.0, 0.5], [1.0, -0.5]])[:pieces] @ np.eye(2, 5)]
    tested += [np.eye(5)[[k]] for k in (2, 3, 4)]
    whole = np.vstack([piece.sum(0) for piece in tested])
    cov = np.diag([0.3, 0.8, 1.0, 1.0, 1.0])
    sd = float(np.sqrt(whole[0] @ cov @ whole[0]))
    change = smallest_shown(pieces, rows, sd, sd / np.sqrt(1 - learnt))
    straight = np.zeros(5)
    straight[0] = learnt * change / whole[0, 0]
    noise = rng.normal(size=(tries, 5)) * np.sqrt(learnt * np.diag(cov))
    moved = [judge(tested, whole, straight + one, cov)[0].verdict == "moved" for one in noise]
    assert 0.75 <= np.mean(moved) <= 0.87


def test_nothing_is_shown_where_the_runs_add_nothing():
    assert smallest_shown(2, 4, 1.0, 1.0) == np.inf
