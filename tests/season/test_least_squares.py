"""Our least squares against certified values: NIST StRD, and the swiss and mtcars data.

Sources: NIST Statistical Reference Datasets, linear least squares [seen]; Groemping, J. Stat.
Software 17(1) 2006, swiss data [memory; values seen]; Henderson & Velleman, Biometrics 37 (1981),
mtcars [memory; values computed twice].
"""

from fractions import Fraction

import numpy as np
import pytest

from pipeline.errors import ThinData
from pipeline.season.least_squares import least_squares, variance_inflation
from tests.reference import small_data as data

NINE_DIGITS = 1e-9  # the bar: at least 9 digits on every coefficient
STANDARD_ERROR = 1e-8  # a standard error carries the square of the conditioning


def powers(x, degree):
    return np.column_stack([np.asarray(x, dtype=float) ** k for k in range(degree + 1)])


def wampler(number):
    x = range(21)
    exact = [sum(Fraction(v) ** k * (Fraction(1, 10**k) if number == 2 else 1) for k in range(6)) for v in x]
    size = {1: 0, 2: 0, 3: 1, 4: 100, 5: 10000}[number]
    y = np.array(
        [float(value + size * delta) for value, delta in zip(exact, data.WAMPLER_DELTA, strict=True)]
    )
    certified = [10.0**-k if number == 2 else 1.0 for k in range(6)]
    return powers(x, 5), y, np.array(certified), size


def digits(got, certified):
    """LRE: digits of agreement with the certified value."""
    relative = np.abs(np.asarray(got) - certified) / np.abs(certified)
    return -np.log10(np.maximum(relative, 1e-16))


@pytest.mark.parametrize("number", [1, 2, 3, 4, 5])
def test_nist_wampler(number):
    x, y, certified, size = wampler(number)
    fit = least_squares(x, y)
    assert digits(fit.coefficients, certified).min() >= 9
    if size:
        assert fit.standard_errors == pytest.approx(size * np.array(data.WAMPLER_SE), rel=STANDARD_ERROR)
        assert fit.residual_sd == pytest.approx(size * 2360.14502379268, rel=NINE_DIGITS)


def test_nist_longley():
    y = np.array(data.LONGLEY)[:, 0]
    x = np.column_stack([np.ones(16), np.array(data.LONGLEY)[:, 1:], np.arange(1947, 1963)])
    fit = least_squares(x, y)
    assert digits(fit.coefficients, np.array(data.LONGLEY_B)).min() >= 9
    assert fit.standard_errors == pytest.approx(data.LONGLEY_SE, rel=STANDARD_ERROR)
    assert fit.residual_sd == pytest.approx(304.854073561965, rel=NINE_DIGITS)
    assert fit.r_squared == pytest.approx(0.995479004577296, rel=NINE_DIGITS)


def test_nist_norris():
    x, y = np.array(data.NORRIS).T
    fit = least_squares(powers(x, 1), y)
    assert digits(fit.coefficients, np.array([-0.262323073774029, 1.00211681802045])).min() >= 9
    assert fit.standard_errors == pytest.approx([0.232818234301152, 0.429796848199937e-3], rel=NINE_DIGITS)
    assert fit.residual_sd == pytest.approx(0.884796396144373, rel=NINE_DIGITS)


def test_nist_pontius_in_raw_units():
    x = np.tile(np.arange(150000.0, 3000001.0, 150000.0), 2)
    fit = least_squares(powers(x, 2), np.array(data.PONTIUS_Y))
    certified = np.array([0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14])
    assert digits(fit.coefficients, certified).min() >= 9
    errors = [0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16]
    assert fit.standard_errors == pytest.approx(errors, rel=STANDARD_ERROR, abs=0)


@pytest.mark.parametrize(
    ("x", "y", "slope", "error", "sd", "r_squared"),
    [
        (
            range(60, 71),
            range(130, 141),
            2.07438016528926,
            0.165289256198347e-1,
            3.56753034006338,
            0.999365492298663,
        ),
        ([4, 5, 6], [3, 4, 4], 0.727272727272727, 0.420827318078432e-1, 0.369274472937998, 0.993348115299335),
    ],
    ids=["NoInt1", "NoInt2"],
)
def test_nist_without_intercept(x, y, slope, error, sd, r_squared):
    fit = least_squares(np.array(x, dtype=float)[:, None], np.array(y, dtype=float))
    assert not fit.centred
    assert fit.coefficients == pytest.approx([slope], rel=NINE_DIGITS)
    assert fit.standard_errors == pytest.approx([error], rel=NINE_DIGITS)
    assert (fit.residual_sd, fit.r_squared) == pytest.approx((sd, r_squared), rel=NINE_DIGITS)


def test_swiss_coefficients_and_inflation():
    y, x = np.array(data.SWISS_FERTILITY), np.column_stack(data.SWISS_X)
    fit = least_squares(np.column_stack([np.ones(47), x]), y)
    assert fit.coefficients == pytest.approx(data.SWISS_B, abs=1e-6)
    assert fit.standard_errors == pytest.approx(data.SWISS_SE, abs=1e-6)
    assert fit.residual_sd == pytest.approx(7.165369, abs=1e-6)
    assert fit.r_squared == pytest.approx(0.706735001593, abs=1e-9)
    assert variance_inflation(x) == pytest.approx(data.SWISS_VIF, abs=1e-6)


def test_longley_inflation():
    x = np.column_stack([np.array(data.LONGLEY)[:, 1:], np.arange(1947, 1963)])
    assert variance_inflation(x) == pytest.approx(
        [135.53244, 1788.51348, 33.61889, 3.58893, 399.15102, 758.98060], rel=1e-6
    )


def test_mtcars_log_quarter_mile():
    ratio = np.log(1000 * np.array(data.MTCARS_WT) / np.array(data.MTCARS_HP))
    fit = least_squares(powers(ratio, 1), np.log(data.MTCARS_QSEC))
    assert fit.coefficients == pytest.approx([2.06515921, 0.25796531], abs=1e-7)
    assert fit.standard_errors == pytest.approx([0.09493374, 0.03000594], abs=1e-7)
    assert fit.r_squared == pytest.approx(0.71129099, abs=1e-7)
    assert fit.residual_sd == pytest.approx(0.05437235, abs=1e-7)


def test_mtcars_largest_outlier_is_the_known_row():
    ratio = np.log(1000 * np.array(data.MTCARS_WT) / np.array(data.MTCARS_HP))
    fit = least_squares(powers(ratio, 1), np.log(data.MTCARS_QSEC))
    left = 1 - fit.leverage
    variance = (fit.residual_sd**2 * fit.spare - fit.residuals**2 / left) / (fit.spare - 1)
    student = fit.residuals / np.sqrt(variance * left)
    assert (int(student.argmax()), round(float(student.max()), 2)) == (8, 3.70)


def test_weights_equal_repeated_rows():
    rng = np.random.default_rng(1)
    x, y = powers(rng.normal(size=12), 2), rng.normal(size=12)
    times = rng.integers(1, 4, 12)
    repeated = least_squares(np.repeat(x, times, axis=0), np.repeat(y, times))
    assert least_squares(x, y, times.astype(float)).coefficients == pytest.approx(
        repeated.coefficients, rel=1e-12
    )


def test_dependent_columns_are_refused_by_number():
    x = np.column_stack([np.ones(6), np.arange(6.0), 2 * np.arange(6.0) + 1])
    with pytest.raises(ThinData, match="made up of the others"):
        least_squares(x, np.arange(6.0))


def test_more_columns_than_rows_are_refused_with_the_counts():
    with pytest.raises(ThinData, match="3 columns was asked of 2 rows"):
        least_squares(np.ones((2, 3)), np.ones(2))
