"""Units and constants of nature that the physics uses, each with its source.

Physics functions take and return SI; these turn the trade's units into SI and back.
"""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

# A plain number or an array of them: what comes in decides what comes out.
N = TypeVar("N", float, NDArray[np.float64])

# Exact by definition (NIST SP 811, 2008, appendix B).
INCH_M = 0.0254
FOOT_M = 0.3048
MILE_M = 1609.344
POUND_KG = 0.45359237
GRAM_KG = 1e-3
GRAIN_KG = 64.79891e-6
STANDARD_GRAVITY = 9.80665  # [m/s2]
POUND_FORCE_N = POUND_KG * STANDARD_GRAVITY
PSI_PA = POUND_FORCE_N / INCH_M**2
HORSEPOWER_W = 550.0 * FOOT_M * POUND_FORCE_N
MPH_M_PER_S = MILE_M / 3600.0
POUND_FOOT_NM = POUND_FORCE_N * FOOT_M
POUND_PER_INCH_N_PER_M = POUND_FORCE_N / INCH_M
POUND_PER_FOOT3 = POUND_KG / FOOT_M**3  # [kg/m3]
RPM_RAD_PER_S = 2.0 * math.pi / 60.0

# The conventional inch of mercury: 13 595.1 kg/m3 at standard gravity (NIST SP 811, appendix B.8). The
# one at 60 degF is 0.28 % less and is not used here.
INHG_PA = 3386.388640341
GRAINS_PER_POUND = 7000.0

ZERO_CELSIUS_K = 273.15


def kelvin_from_degf(temp_degf: N) -> N:
    """Turn degrees Fahrenheit into kelvin, exactly: (F + 459.67)/1.8 (NIST SP 811, appendix B.8).

    Examples
    --------
    >>> round(kelvin_from_degf(77.0), 9)
    298.15
    """
    return (temp_degf + 459.67) / 1.8


def degf_from_kelvin(temp_k: N) -> N:
    """Turn kelvin into degrees Fahrenheit, exactly: 1.8 K - 459.67 (NIST SP 811, appendix B.8).

    Examples
    --------
    >>> round(degf_from_kelvin(288.15), 9)
    59.0
    """
    return 1.8 * temp_k - 459.67
