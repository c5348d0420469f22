"""The best whole assignment of rows to columns, each column to one row at most.

The library that has this takes longer to load than all sheets of a season take to be matched.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Worths = NDArray[np.float64]


def best_columns(worth: Worths) -> list[int]:
    """Return the column of each row so that their worths add up to the most.

    Parameters
    ----------
    worth
        Finite; at least as many columns as rows. Shape (n, m)

    Returns
    -------
    list of int
        One a row, no two the same.

    References
    ----------
    Crouse, "On implementing 2D rectangular assignment algorithms", IEEE Trans. Aerosp. Electron. Syst. 52
    (2016) 1679-1696: shortest augmenting paths (Jonker & Volgenant) [memory].

    Examples
    --------
    >>> best_columns(np.array([[3.0, 2.0, 0.0], [3.0, 0.0, 1.0]]))
    [1, 0]
    """
    cost = -worth
    rows, columns = cost.shape
    of_row, of_column = np.full(rows, -1), np.full(columns, -1)
    row_price, column_price = np.zeros(rows), np.zeros(columns)
    for first in range(rows):
        reached, came_from = np.full(columns, np.inf), np.full(columns, -1)
        left = np.arange(columns)[::-1]
        row, least = first, 0.0
        passed: list[int] = []
        while True:
            through = least + cost[row, left] - row_price[row] - column_price[left]
            nearer = through < reached[left]
            reached[left[nearer]], came_from[left[nearer]] = through[nearer], row
            least = float(reached[left].min())
            ties = np.flatnonzero(reached[left] == least)
            free = ties[of_column[left[ties]] < 0]
            at = int(free[-1] if free.size else ties[0])
            end = int(left[at])
            if of_column[end] < 0:
                break
            row = int(of_column[end])
            passed.append(end)
            left[at] = left[-1]
            left = left[:-1]
        row_price[first] += least
        row_price[of_column[passed]] += least - reached[passed]
        column_price[passed] -= least - reached[passed]
        while end >= 0:
            row = int(came_from[end])
            of_column[end] = row
            of_row[row], end = end, int(of_row[row])
            if row == first:
                break
    return [int(column) for column in of_row]
