"""A save is noticed once, when it has come to rest; nothing is noticed twice."""

from collections.abc import Callable
from itertools import islice
from pathlib import Path

from pipeline.files.saves import saves


def seen_after(root: Path, *steps: Callable[[], object]) -> list[int]:
    """At which look each save was noticed; one step is done at each look, and then the looker is stopped."""
    looks, coming = 0, iter(steps)

    class Over(Exception):
        """The steps are done."""

    def wait(_seconds: float) -> None:
        nonlocal looks
        looks += 1
        step = next(coming, None)
        if step is None:
            raise Over
        step()

    noticed = []
    try:
        for _ in saves(root, wait):
            noticed.append(looks)
    except Over:
        return noticed
    raise AssertionError


def nothing() -> None:
    """Look without anything having been saved."""


def test_the_first_look_counts_and_then_only_saves(tmp_path: Path) -> None:
    sheet = tmp_path / "slips.csv"
    sheet.write_text("date,60 ft\n")

    def longer() -> None:
        sheet.write_text("date,60 ft\n1")

    def longest() -> None:
        sheet.write_text("date,60 ft\n1,2")

    assert seen_after(tmp_path, nothing, nothing, nothing) == [0]
    assert seen_after(tmp_path, nothing, longer, nothing, nothing) == [0, 3]
    assert seen_after(tmp_path, longest, longer, longest, nothing, nothing) == [0, 4]


def test_a_new_sheet_the_garage_and_a_folder_that_comes_back_are_noticed(tmp_path: Path) -> None:
    root = tmp_path / "book"
    steps = [
        root.mkdir,
        nothing,
        lambda: (root / "garage.toml").write_text('units = "metric"\n'),
        nothing,
        lambda: (root / "more.csv").write_text("date\n"),
        nothing,
        (root / "more.csv").unlink,
        nothing,
        lambda: (root / "reports").mkdir(),
        lambda: (root / "reports" / "sheet.csv").write_text("ours"),
        nothing,
    ]
    assert seen_after(root, *steps) == [0, 4, 6, 8]


def test_what_is_saved_while_work_goes_on_is_noticed_afterwards(tmp_path: Path) -> None:
    sheet = tmp_path / "slips.csv"
    sheet.write_text("a")
    rounds = saves(tmp_path, lambda _seconds: None)
    for text in ("ab", "abc"):
        next(rounds)
        sheet.write_text(text)
    assert list(islice(rounds, 1)) == [None]
