"""The files below a logbook that may be sheets, and those that are passed over, each with a sentence."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pipeline.errors import SheetError
from pipeline.files.names import printable

SHEET_SUFFIXES = frozenset({".csv", ".tsv", ".xlsx", ".xlsm", ".xls", ".ods"})
NOTES_SUFFIXES = frozenset({".txt", ".text", ".md", ".log"})
LISTED = "questions.txt"
"""The list of questions as text, which ``questions --out`` writes."""
LOOKED_AT, DECIMALS_A_LINE, LEAST_LINES = 20_000, 3, 3
"""Plain text is notes of runs when so many of its first lines hold so many numbers with a point."""
LEAST_WITH_ONE, SHARE_WITH_ONE = 5, 0.15
"""It is also when so many lines, and such a share of those with words, hold one, as cards and readings do."""
_DECIMAL = re.compile(r"(?<![\d.,])\d*[.,]\d{1,4}(?!\d|[.,]\d)")
_MEASURED = re.compile(r"(?i)\d\s?(?:%|°|(?:mb(?:ar)?|hpa|kpa|in\s?hg|deg\s?[fc]?|psi|rpm|turns?)\b)")
_THOUSANDTHS = re.compile(r"(?<![\d.,:/-])[1-9]\d{3}(?![\d.,:/-]\d|\d)")
"""A time without its point."""
OTHER_SUFFIXES = frozenset(
    """
    .dat .doc .docx .rtf .odt .pages .pdf .numbers .gsheet .xlsb .xml .mdb .accdb .zip .gz
    .7z .rar .jpg .jpeg .png .heic .gif .tif .tiff .webp .bak .old .tmp
    """.split()  # noqa: SIM905 -- a line is read more easily than forty quotes
)
"""Kinds of files in which people keep slips too, and which nothing can be read from."""
NAMED_OF_A_KIND = 3
SKIPPED_FOLDERS = frozenset({"reports", "exports"})


@dataclass(frozen=True, slots=True)
class SheetFiles:
    """What a folder holds.

    Attributes
    ----------
    sheets
        Ordinary files that may be sheets, in a fixed order.
    passed_over
        Names below the folder, fit to print, with why nothing is read from them.
    """

    sheets: tuple[Path, ...]
    passed_over: tuple[tuple[str, SheetError], ...]


def find_sheets(root: Path) -> SheetFiles:
    """Look through a logbook's folder and all folders in it; no link is followed, only texts are opened."""
    sheets: list[Path] = []
    passed_over: list[tuple[str, SheetError]] = []

    def pass_over(path: Path, problem: str, remedy: str) -> None:
        name = printable(path.relative_to(root).as_posix())
        passed_over.append((name, SheetError(f"{name} {problem}.", remedy)))

    def unreadable(refused: OSError) -> None:
        pass_over(
            Path(refused.filename),
            f"cannot be looked through ({refused.strerror})",
            "Check that the folder is yours.",
        )

    for folder, folders, files in os.walk(root, onerror=unreadable, followlinks=False):
        folders[:] = sorted(name for name in folders if not _is_skipped(name))
        candidates = [name for name in files if _may_be_sheet(Path(folder, name))]
        links = [name for name in folders if Path(folder, name).is_symlink()]
        for path in (Path(folder, name) for name in sorted([*candidates, *links])):
            if (wrong := _trouble(path, root)) is not None:
                pass_over(path, *wrong)
            else:
                sheets.append(path)
        _pass_over_others([Path(folder, name) for name in sorted(files)], pass_over)
    sheets.sort(key=lambda path: path.relative_to(root).as_posix().casefold())
    return SheetFiles(tuple(sheets), tuple(sorted(passed_over, key=lambda each: each[0])))


def _pass_over_others(files: list[Path], pass_over: Callable[[Path, str, str], None]) -> None:
    """Name the sheets that are open or hidden, and the files of other kinds, a kind at a time."""
    for path in files:
        if (opened := _open_in_a_spreadsheet(path)) is not None:
            pass_over(
                path,
                f"says that {opened} is open in a spreadsheet, so only what was saved of it counts",
                "Save it and close it; if it is closed, take this file out.",
            )
        if path.name.startswith(".") and path.suffix.casefold() in SHEET_SUFFIXES:
            pass_over(
                path, "is hidden, so it is not read", "Take the point off its name if it holds entries."
            )
    kinds: dict[str, list[Path]] = {}
    for path in files:
        is_other = path.suffix.casefold() in OTHER_SUFFIXES or (
            path.suffix.casefold() in NOTES_SUFFIXES and not holds_notes(path)
        )
        if not path.name.startswith((".", "~$")) and is_other:
            kinds.setdefault(path.suffix.casefold(), []).append(path)
    for suffix, paths in kinds.items():
        shown, more = paths[:NAMED_OF_A_KIND], len(paths) - NAMED_OF_A_KIND
        for path in shown:
            pass_over(
                path, "is no sheet", "What it holds of runs must stand in a .csv, .tsv, .xlsx or .ods file."
            )
        if more > 0:
            rest = "1 more file that is no sheet" if more == 1 else f"{more} more files that are no sheets"
            pass_over(paths[0].parent / f"*{suffix}", f"stands for {rest}", "See above.")


def _open_in_a_spreadsheet(path: Path) -> str | None:
    """Name the sheet that a spreadsheet's own mark beside it is for; None for any other file."""
    if path.name.startswith("~$"):
        return f"{path.name.removeprefix('~$')}" if path.suffix.casefold() in SHEET_SUFFIXES else None
    is_mark = path.name.startswith(".~lock.") and path.name.endswith("#")
    return path.name.removeprefix(".~lock.").removesuffix("#") if is_mark else None


def is_ordinary(path: Path) -> bool:
    """Say whether this is a file itself: no link, pipe or device."""
    return stat.S_ISREG(path.lstat().st_mode)


def _trouble(path: Path, root: Path) -> tuple[str, str] | None:
    name = path.relative_to(root).as_posix()
    if printable(name) != name:
        return "has a control character in its name", "Rename it in plain letters."
    try:
        if path.is_symlink():
            return "is a link, and links are not followed", "Copy what it points to into the logbook."
        if not is_ordinary(path):
            return "is no ordinary file", "Take it out of the logbook."
    except OSError as gone:
        return f"cannot be read ({gone.strerror})", "Check that the file is there and is yours."
    return None


def _is_skipped(folder: str) -> bool:
    return folder.startswith(".") or folder.casefold() in SKIPPED_FOLDERS


def _may_be_sheet(path: Path) -> bool:
    if path.name.startswith((".", "~$")):
        return False
    suffix = path.suffix.casefold()
    return suffix in SHEET_SUFFIXES or (suffix in NOTES_SUFFIXES and holds_notes(path))


def holds_notes(path: Path) -> bool:
    """Tell whether a text file tells of runs or the air, by decimals and units, or what short words mean."""
    if path.name == LISTED or path.is_symlink():
        return False
    try:
        if not is_ordinary(path):
            return False
        with path.open("rb") as file:
            lines = file.read(LOOKED_AT).decode("utf-8", errors="replace").splitlines()
    except OSError:
        return False
    explained = sum("=" in line for line in lines)
    is_legend = explained > LEAST_LINES and 2 * explained > sum(bool(line.strip()) for line in lines)
    decimals = [len(_DECIMAL.findall(line)) for line in lines if line.strip()]
    with_one = sum(map(bool, decimals))
    pointless = sum(len(_THOUSANDTHS.findall(line)) >= DECIMALS_A_LINE for line in lines)
    measured = sum(len(_MEASURED.findall(line)) > 1 for line in lines)
    return (
        is_legend
        or measured >= LEAST_WITH_ONE
        or sum(count >= DECIMALS_A_LINE for count in decimals) >= LEAST_LINES
        or pointless >= LEAST_WITH_ONE
        or with_one >= max(LEAST_WITH_ONE, SHARE_WITH_ONE * len(decimals))
    )
