"""What the tables of a sheet pass on to those read after it: runs by their names, last settings, a title.

Of the sheet being read it is noted what it asked, with the answers, and what it told: a sheet that would be
given the same answers need not be read again, and what it told is told again.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any

Run = dict[str, str]


@dataclass(slots=True)
class PassedOn:
    """What sheets read so far have passed on.

    Attributes
    ----------
    title
        Words of a title that may name the only car.
    runs
        Number or name of a run, folded -> what its slips say: ``date``, ``time``, ``venue``, ``event``,
        ``car``.
    settings
        Car and setting -> its last value, for settings that tell only what was changed.
    """

    title: str = ""
    runs: dict[str, list[Run]] = field(default_factory=dict)
    settings: dict[tuple[str, str], str] = field(default_factory=dict)
    _before: dict[Hashable, Any] = field(default_factory=dict)
    _asked: dict[Hashable, None] = field(default_factory=dict)
    _told: list[list[Any]] = field(default_factory=list)

    def begin(self) -> None:
        """Begin another sheet."""
        self._before, self._asked, self._told = {}, {}, []

    def runs_named(self, label: str) -> list[Run]:
        """Give what slips say of the runs of one name; none when no slip bears it."""
        known = self.runs.get(label, [])
        self._before.setdefault(label, [*known])
        self._asked[label] = None
        return known

    def setting(self, car: str, name: str) -> str:
        """Give the last value of a car's setting; empty when there is none."""
        known = self.settings.get((car, name), "")
        self._before.setdefault((car, name), known)
        self._asked[car, name] = None
        return known

    def note_run(self, label: str, run: Run) -> None:
        """Note what a slip says of the run that it names."""
        known = self.runs.setdefault(label, [])
        self._before.setdefault(label, [*known])
        self._told.append(["run", label, run])
        if run not in known:
            known.append(run)

    def note_setting(self, car: str, name: str, text: str) -> None:
        """Note a car's setting."""
        self._before.setdefault((car, name), self.settings.get((car, name), ""))
        self._told.append(["setting", car, name, text])
        self.settings[car, name] = text

    def note_title(self, words: str) -> None:
        """Note a title, unless one was found before."""
        if words:
            self._told.append(["title", words])
            self.title = self.title or words

    def of_sheet(self) -> dict[str, list[Any]]:
        """Give what the present sheet asked, with the answers as they were before it, and what it told."""
        return {"asked": [[key, self._before[key]] for key in self._asked], "told": self._told}

    def repeat(self, of_sheet: dict[str, list[Any]]) -> bool:
        """Tell again what a sheet told; nothing, and False, when its questions have other answers by now."""
        for key, answer in of_sheet["asked"]:
            known = self.runs.get(key, []) if isinstance(key, str) else self.settings.get((*key,), "")
            if known != answer:
                return False
        tell: dict[str, Callable[..., None]] = {
            "run": self.note_run,
            "setting": self.note_setting,
            "title": self.note_title,
        }
        for what, *words in of_sheet["told"]:
            tell[what](*words)
        return True
