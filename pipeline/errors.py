"""Every error slipledger raises on purpose.

::

    SlipledgerError                 one sentence for the person, exit status 2
    ├── RequestError                the command or its options are wrong
    ├── GarageError                 garage.toml has mistakes (all of them, with lines)
    ├── SheetError                  a sheet cannot be read at all
    ├── UnitError                   a unit as typed is not known or does not fit
    ├── StoreError                  the store cannot be opened, locked, read or migrated
    ├── OutOfRange                  a number outside the range its formula is good for
    └── ThinData                    too little data for what was asked

A message says what is wrong, where, the value, and the remedy. Only
``pipeline.cli`` turns one into a printed line.
"""

from __future__ import annotations


class SlipledgerError(Exception):
    """Base of the tree; ``str()`` of one is a sentence fit to print.

    Parameters
    ----------
    problem
        What is wrong, with the offending value in it.
    remedy
        What the person can do about it, as a sentence of its own.
    """

    def __init__(self, problem: str, remedy: str) -> None:
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem} {remedy}")


class RequestError(SlipledgerError):
    """The command, its options or its arguments ask for something that is not there."""


class GarageError(SlipledgerError):
    """``garage.toml`` has one or more mistakes; the message lists them all with their lines."""


class SheetError(SlipledgerError):
    """A file or a tab cannot be read as a sheet at all."""


class UnitError(SlipledgerError):
    """A unit as typed is not known, or measures another quantity."""


class StoreError(SlipledgerError):
    """The store cannot be opened, locked, read, written or migrated."""


class ThinData(SlipledgerError):
    """There are too few usable runs for what was asked."""


class OutOfRange(SlipledgerError):
    """A number lies outside the range in which a formula or a limit holds.

    Parameters
    ----------
    what
        The quantity in words, such as ``"air temperature"``.
    value
        The number given, in ``unit``.
    unit
        Unit of the value and of both limits.
    low, high
        Ends of the range in which the value would be accepted.
    remedy
        What to do instead.
    """

    def __init__(self, what: str, value: float, unit: str, low: float, high: float, remedy: str) -> None:
        self.what, self.value, self.unit, self.low, self.high = what, value, unit, low, high
        named = f" {unit}" if unit else ""
        super().__init__(f"{what} of {value:g}{named} is outside {low:g} to {high:g}{named}.", remedy)
