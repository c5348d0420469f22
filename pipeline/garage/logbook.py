"""A logbook folder: ``garage.toml``, validated with every mistake at once, and the sheets below it."""

from __future__ import annotations

import difflib
import tomllib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import (
    Field,
    ValidationError,
    model_validator,
)

from pipeline.errors import GarageError, RequestError, SheetError
from pipeline.files.sheets import find_sheets, is_ordinary
from pipeline.garage.columns import numbered
from pipeline.garage.dictionary import DATE_WORDS, SHEET_TABLES, TIME_WORDS
from pipeline.garage.factors import ADJUSTMENTS, Factor
from pipeline.garage.mistakes import mistake, perhaps
from pipeline.garage.parts import Adjustment, Car, Clutch, Part, Venue
from pipeline.garage.spelling import folded, short_name

GARAGE_FILE = "garage.toml"
MOST_GARAGE_BYTES = 1_000_000


def _names_itself(strip: object) -> bool:
    """Tell whether a strip is told with a name and spellings that are texts."""
    if not isinstance(strip, dict) or not isinstance(strip.get("name"), str):
        return False
    also = strip.get("also", [])
    return isinstance(also, list) and all(isinstance(text, str) for text in also)


class Garage(Part):
    """All of garage.toml."""

    units: Literal["us", "metric"] = "us"
    cars: tuple[Car, ...] = Field((), alias="car")
    clutches: tuple[Clutch, ...] = Field((), alias="clutch")
    venues: tuple[Venue, ...] = Field((), alias="venue")
    adjustments: tuple[Adjustment, ...] = Field((), alias="adjustment")
    headings: dict[str, str] = Field(default_factory=dict)

    @model_validator(mode="before")
    @classmethod
    def _call_strips_short(cls, told: Any) -> Any:
        """Let a strip go by its short name too, where no other is called so."""
        strips = told.get("venue") if isinstance(told, dict) else None
        if not isinstance(strips, list) or not all(_names_itself(strip) for strip in strips):
            return told
        called = Counter(
            spelling
            for strip in strips
            for spelling in {
                folded(text) for text in (strip["name"], short_name(strip["name"]), *strip.get("also", ()))
            }
        )
        named = [
            strip | {"also": [*strip.get("also", ()), short]}
            if (short := short_name(strip["name"])) != strip["name"]
            and called[folded(short)] == 1
            and folded(short) not in map(folded, strip.get("also", ()))
            else strip
            for strip in strips
        ]
        return told | {"venue": named}

    @model_validator(mode="after")
    def _agree(self) -> Garage:
        for kind, parts in (("car", self.cars), ("clutch", self.clutches), ("venue", self.venues)):
            _distinct(kind, [(part.name, *getattr(part, "also", ())) for part in parts])
        _distinct("adjustment", [(part.name, *part.also) for part in self.adjustments])
        known = [clutch.name for clutch in self.clutches]
        for car in self.cars:
            if car.clutch is not None and car.clutch not in known:
                raise ValueError(
                    f"car {car.name!r} names the clutch {car.clutch!r}{perhaps(car.clutch, known)}"
                )
            names = [factor.name for factor in self.factors]
            for name in car.change_minutes:
                if name not in names:
                    raise ValueError(
                        f"change_minutes of car {car.name!r} names {name!r}, which is no adjustment; "
                        f"those are {', '.join(names)}"
                    )
        self._check_headings()
        return self

    def _check_headings(self) -> None:
        """Refuse a heading of the person's own that stands for no column."""
        spelled = _column_spellings(self.adjustments)
        for heading, meant in self.headings.items():
            if folded(meant) not in spelled:
                close = difflib.get_close_matches(folded(meant), spelled, n=1, cutoff=0.5)
                hint = f"did you mean {spelled[close[0]]!r}?" if close else "the README lists every column"
                raise ValueError(
                    f"under [headings], {heading!r} stands for {meant!r}, which is no column; {hint}"
                )

    def car(self, name: str) -> Car:
        """Return the car of that name or spelling; an empty one when garage.toml does not list it."""
        for car in self.cars:
            if folded(name) in {folded(spelling) for spelling in (car.name, *car.also)}:
                return car
        return Car(name=name)

    def clutch_of(self, car: str) -> Clutch | None:
        """Return a car's clutch; None when it is not described."""
        wanted = self.car(car).clutch
        return next((clutch for clutch in self.clutches if clutch.name == wanted), None)

    @property
    def factors(self) -> tuple[Factor, ...]:
        """Every adjustment a person can set, the usual ones first, then those of garage.toml."""
        return (*ADJUSTMENTS, *(item.factor for item in self.adjustments))

    def limits_of(self, car: str, factor: Factor) -> tuple[float, float] | None:
        """Return the least and most that garage.toml gives for a car's adjustment, in the adjustment's unit.

        None when there is no such line. A lone number, such as safe_turns, is the most; the least is 0.
        """
        parts: dict[str, Part | None] = {
            "car": self.car(car),
            "clutch": self.clutch_of(car),
            "adjustment": next((item for item in self.adjustments if item.name == factor.name), None),
        }
        part = parts[factor.limits_part]
        limits = None if part is None else part.line(factor.limits_key)
        return (0.0, limits) if isinstance(limits, float) else limits


def _column_spellings(adjustments: Iterable[Adjustment]) -> dict[str, str]:
    """Return every folded way to name a column of a sheet, with that way as written."""
    columns = [column for table in SHEET_TABLES.values() for column in table.columns if column.heading]
    texts = [text for column in columns for text in (column.heading, column.name, *column.aliases)]
    texts += [text for own in adjustments for text in (own.name, own.spoken, *own.also)]
    texts += [name for column in columns if column.each for name in numbered(column.name)]
    return {folded(text): text for text in reversed([*texts, *DATE_WORDS, *TIME_WORDS])}


def _distinct(kind: str, spellings: list[tuple[str, ...]]) -> None:
    seen: set[str] = set()
    for names in spellings:
        spelled = {folded(name) for name in names}
        if spelled & seen:
            both = next(name for name in names if folded(name) in seen)
            raise ValueError(f"two [[{kind}]] go by {both!r}; each name or spelling may stand once")
        seen |= spelled


@dataclass(frozen=True, slots=True)
class Logbook:
    """A logbook folder, read.

    Attributes
    ----------
    root
        The folder.
    garage
        What ``garage.toml`` says; empty when there is none.
    sheets
        Every file that may be a sheet, in a fixed order.
    passed_over
        Names of others that look like sheets, with why they are not read.
    """

    root: Path
    garage: Garage
    sheets: tuple[Path, ...]
    passed_over: tuple[tuple[str, SheetError], ...] = ()

    @classmethod
    def open(cls, root: Path) -> Logbook:
        """Read ``garage.toml`` and list the sheets.

        Raises
        ------
        RequestError
            When there is no such folder.
        GarageError
            When ``garage.toml`` has mistakes; all are in the message.
        """
        if not root.is_dir():
            near = (
                sorted(path.name for path in root.parent.iterdir() if path.is_dir())
                if root.parent.is_dir()
                else []
            )
            close = difflib.get_close_matches(root.name, near, n=1)
            hint = f"Did you mean {close[0]!r}?" if close else "Make one with 'slipledger new'."
            raise RequestError(f"There is no logbook folder {root}.", hint)
        files = find_sheets(root)
        garage = read_garage(root / GARAGE_FILE)
        return cls(root=root, garage=garage, sheets=files.sheets, passed_over=files.passed_over)


def read_garage(path: Path) -> Garage:
    """Read and check garage.toml.

    Parameters
    ----------
    path
        The file; an absent one is an empty garage.

    Raises
    ------
    GarageError
        With every mistake, its line and its remedy.
    """
    if not path.exists():
        return Garage.model_validate({})
    try:
        _refuse_no_garage(path)
        text = path.read_text(encoding="utf-8-sig")
        return Garage.model_validate(tomllib.loads(text))
    except (OSError, UnicodeDecodeError) as unreadable:
        raise GarageError(
            f"{path.name} cannot be read ({unreadable}).", "Save it as plain text in UTF-8."
        ) from unreadable
    except (tomllib.TOMLDecodeError, RecursionError) as wrong:
        raise GarageError(
            f"{path.name} is not TOML: {str(wrong)[:200]}.",
            'Text goes in "quotes", and each [[car]] or [[venue]] stands on its own line.',
        ) from wrong
    except ValidationError as wrong:
        mistakes = [mistake(error, text, _keys_of) for error in wrong.errors(include_url=False)]
        count = "1 mistake" if len(mistakes) == 1 else f"{len(mistakes)} mistakes"
        raise GarageError(
            f"{path.name} has {count}: " + "; ".join(mistakes) + ".", "Mend them and run the command again."
        ) from wrong


def _refuse_no_garage(path: Path) -> None:
    if not is_ordinary(path):
        raise GarageError(
            f"{path.name} is a link or no ordinary file.", "Copy what it points to into the logbook."
        )
    size = path.stat().st_size
    if size > MOST_GARAGE_BYTES:
        raise GarageError(
            f"{path.name} is {size / 1e6:.1f} MB; a garage takes a few kB.",
            "Keep cars, clutches and strips in it, and nothing else.",
        )


def _keys_of(table: str) -> list[str]:
    models: dict[str, type[Part]] = {"car": Car, "clutch": Clutch, "venue": Venue, "adjustment": Adjustment}
    model = models.get(table, Garage)
    return [field.alias or name for name, field in model.model_fields.items()]
