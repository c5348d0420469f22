"""What a column and a table are; every one of them stands in ``pipeline.garage.dictionary``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SqlType = Literal[
    "VARCHAR", "BIGINT", "INTEGER", "DOUBLE", "BOOLEAN", "DATE", "TIMESTAMP",
    "VARCHAR[]", "DOUBLE[]", "MAP(VARCHAR, DOUBLE)",
]  # fmt: skip
Kind = Literal["timeslips", "weather", "track", "setups", "checks"]
Role = Literal["", "ticket", "result", "setting"]
KINDS: tuple[Kind, ...] = ("timeslips", "weather", "track", "setups", "checks")


MOST_SCREWS = 24
"""More screws, or stands at which a ring is measured, no clutch has."""


def numbered(name: str, count: int = MOST_SCREWS) -> tuple[str, ...]:
    """Return the names of a column written screw by screw: ``preload_turns_1``, ``preload_turns_2``, ..."""
    return tuple(f"{name}_{number}" for number in range(1, count + 1))


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes
    ----------
    name
        As in the store; a physical quantity ends in its unit.
    sql_type
        DuckDB's type.
    meaning
        In a few words.
    unit
        Canonical unit, a key of ``pipeline.garage.conversions.CONVERSIONS``; empty for text and counts.
    low, high
        Outside these the number cannot be what the column says, whatever the car. None = no limit.
    heading
        What a person calls it on a sheet; empty when nobody types it.
    aliases
        Other headings, compared without case, spaces and punctuation.
    role
        Who judges it. ``ticket``: the numbers of a slip judge each other; ``setting``: the car's limits and
        habits do. Else its range does. ``result`` and ``ticket`` are what a planned run has not got yet.
    decimals
        With how many it is printed on a ticket; None when that differs.
    each
        Of a number that may be written screw by screw or stand by stand: the list it then fills.
    needs
        A column without which this one says nothing: while that one is asked about, this one is not used.
    is_settled
        Whether its words are written one way: a name of garage.toml or one of a few words.
    """

    name: str
    sql_type: SqlType
    meaning: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    heading: str = ""
    aliases: tuple[str, ...] = ()
    role: Role = ""
    decimals: int | None = None
    each: str = ""
    needs: str = ""
    is_settled: bool = False

    @property
    def heading_with_unit(self) -> str:
        """Its heading on a blank sheet, such as ``tire pressure (psi)`` or ``launch rpm``."""
        is_said = not self.unit or any(word.startswith(self.unit) for word in self.heading.split())
        return self.heading if is_said else f"{self.heading} ({self.unit.removeprefix('deg')})"


@dataclass(frozen=True, slots=True)
class Table:
    """One table: its grain in words and its columns in order.

    Of the table of a kind of sheet the first column is the key, one has the moment, and ``untimed_s`` is the
    time of day [s] of a row that has none; None = its rows keep the order of the sheet, from midnight on.
    """

    name: str
    grain: str
    columns: tuple[Column, ...]
    untimed_s: int | None = 0

    def column(self, name: str) -> Column:
        """Return the column of that name; KeyError when there is none."""
        for column in self.columns:
            if column.name == name:
                return column
        raise KeyError(f"{self.name} has no column {name}")

    def has(self, name: str) -> bool:
        """Tell whether there is a column of that name."""
        return any(column.name == name for column in self.columns)

    @property
    def key(self) -> str:
        """The column that numbers the rows."""
        return self.columns[0].name

    @property
    def moment(self) -> str:
        """The column with date and time."""
        return next(column.name for column in self.columns if column.sql_type == "TIMESTAMP")

    @property
    def texts(self) -> tuple[Column, ...]:
        """The columns in which people write words."""
        return tuple(column for column in self.columns if column.heading and column.sql_type == "VARCHAR")

    @property
    def numbers(self) -> tuple[Column, ...]:
        """The columns in which people write numbers."""
        return tuple(column for column in self.columns if column.heading and column.sql_type == "DOUBLE")

    @property
    def measured(self) -> tuple[Column, ...]:
        """The columns of which one is filled where anything was measured or seen."""
        return tuple(
            column for column in self.columns if column in self.numbers or column.role in ("ticket", "result")
        )

    @property
    def settled(self) -> tuple[str, ...]:
        """The columns whose words are written one way."""
        return tuple(column.name for column in self.columns if column.is_settled)

    @property
    def several(self) -> Column | None:
        """The number that may be written screw by screw, if there is one."""
        return next((column for column in self.numbers if column.each), None)

    @property
    def ranged(self) -> tuple[Column, ...]:
        """The numbers that their range alone judges."""
        return tuple(column for column in self.numbers if column.role not in ("ticket", "setting"))

    def of_role(self, *roles: Role) -> tuple[Column, ...]:
        """Return the typed columns of these roles, in order."""
        return tuple(column for column in self.columns if column.heading and column.role in roles)
