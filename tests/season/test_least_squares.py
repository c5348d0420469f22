"""Our least squares against certified values: NIST StRD, and the swiss and mtcars data.

Sources: NIST Statistical Reference Datasets, linear least squares [seen]; Groemping, J. Stat.
Software 17(1) 2006, swiss data [memory; values seen]; Henderson & Velleman, Biometrics 37 (1981),
mtcars [memory; values computed twice].
"""

from fractions import Fraction

import numpy as np
import pytest

from pipeline.season.least_squares import ordinary_least_squares, variance_inflation
from tests.reference import small_data as data

EXACT = 1e-9


def powers(x, degree):
    return np.column_stack([np.asarray(x, dtype=float) ** k for k in range(degree + 1)])


def plain(x, y):
    """Fit with every row in one cluster, so that the errors are the classical ones."""
    return ordinary_least_squares(x, np.asarray(y, dtype=float), np.zeros(len(x), dtype=np.intp))


def wampler(number):
    x = range(21)
    exact = [sum(Fraction(v) ** k * (Fraction(1, 10**k) if number == 2 else 1) for k in range(6)) for v in x]
    size = {1: 0, 2: 0, 3: 1, 4: 100, 5: 10000}[number]
    y = np.array(
        [float(value + size * delta) for value, delta in zip(exact, data.WAMPLER_DELTA, strict=True)]
    )
    certified = [10.0**-k if number == 2 else 1.0 for k in range(6)]
    return powers(x, 5), y, np.array(certified), size


@pytest.mark.parametrize(("number", "near"), [(1, 1e-7), (2, 1e-7), (3, 1e-7), (4, 1e-6), (5, 1e-4)])
def test_nist_wampler(number, near):
    x, y, certified, size = wampler(number)
    fit = plain(x, y)
    assert fit.coefficients == pytest.approx(certified, rel=near)
    if size:
        assert fit.standard_errors == pytest.approx(size * np.array(data.WAMPLER_SE), rel=1e-7)


def test_nist_longley():
    y = np.array(data.LONGLEY)[:, 0]
    x = np.column_stack([np.ones(16), np.array(data.LONGLEY)[:, 1:], np.arange(1947, 1963)])
    fit = plain(x, y)
    assert fit.coefficients == pytest.approx(data.LONGLEY_B, rel=1e-8)
    assert fit.standard_errors == pytest.approx(data.LONGLEY_SE, rel=1e-7)


def test_nist_norris():
    x, y = np.array(data.NORRIS).T
    fit = plain(powers(x, 1), y)
    assert fit.coefficients == pytest.approx([-0.262323073774029, 1.00211681802045], rel=1e-11)
    assert fit.standard_errors == pytest.approx([0.232818234301152, 0.429796848199937e-3], rel=EXACT)


def test_nist_pontius_scaled():
    x = np.tile(np.arange(150000.0, 3000001.0, 150000.0), 2) / 1e6
    fit = plain(powers(x, 2), data.PONTIUS_Y)
    certified = np.array([0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14])
    assert fit.coefficients == pytest.approx(certified * [1, 1e6, 1e12], rel=EXACT)
    errors = np.array([0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16])
    assert fit.standard_errors == pytest.approx(errors * [1, 1e6, 1e12], rel=EXACT)


@pytest.mark.parametrize(
    ("x", "y", "slope", "error"),
    [
        (range(60, 71), range(130, 141), 2.07438016528926, 0.165289256198347e-1),
        ([4, 5, 6], [3, 4, 4], 0.727272727272727, 0.420827318078432e-1),
    ],
    ids=["NoInt1", "NoInt2"],
)
def test_nist_without_intercept(x, y, slope, error):
    fit = plain(np.array(x, dtype=float)[:, None], y)
    assert fit.coefficients == pytest.approx([slope], rel=EXACT)
    assert fit.standard_errors == pytest.approx([error], rel=EXACT)


def test_swiss_coefficients_and_inflation():
    y, x = np.array(data.SWISS_FERTILITY), np.column_stack(data.SWISS_X)
    fit = plain(np.column_stack([np.ones(47), x]), y)
    assert fit.coefficients == pytest.approx(data.SWISS_B, abs=1e-6)
    assert fit.standard_errors == pytest.approx(data.SWISS_SE, abs=1e-6)
    assert variance_inflation(x) == pytest.approx(data.SWISS_VIF, abs=1e-6)


def test_longley_inflation():
    x = np.column_stack([np.array(data.LONGLEY)[:, 1:], np.arange(1947, 1963)])
    assert variance_inflation(x) == pytest.approx(
        [135.53244, 1788.51348, 33.61889, 3.58893, 399.15102, 758.98060], rel=1e-6
    )


def test_mtcars_log_quarter_mile():
    ratio = np.log(1000 * np.array(data.MTCARS_WT) / np.array(data.MTCARS_HP))
    fit = plain(powers(ratio, 1), np.log(data.MTCARS_QSEC))
    assert fit.coefficients == pytest.approx([2.06515921, 0.25796531], abs=1e-7)
    assert fit.standard_errors == pytest.approx([0.09493374, 0.03000594], abs=1e-7)
