"""Sheets cut, torn, shuffled and overwritten: no traceback, every file named, every row accounted for."""

import io
import random
from collections.abc import Callable
from pathlib import Path

import pytest
import xlsxwriter

from tests.ingest.logbooks import ingested, write
from tests.ingest.recognise.test_layouts import LAYOUTS

FEW, A_FOLDER = 6, 20
"""Files in the one folder of the default run, and in each folder of the long one."""
FOLDERS = 100


def as_workbook(text: str) -> bytes:
    held = io.BytesIO()
    with xlsxwriter.Workbook(held, {"in_memory": True}) as book:
        tab = book.add_worksheet("Runs")
        for row, line in enumerate(text.splitlines()):
            for column, cell in enumerate(line.split(",")):
                tab.write(row, column, cell)
    return held.getvalue()


def cut_short(content: bytes, rng: random.Random) -> bytes:
    return content[: rng.randrange(len(content) + 1)]


def bytes_flipped(content: bytes, rng: random.Random) -> bytes:
    torn = bytearray(content)
    for _ in range(rng.randint(1, 30)):
        torn[rng.randrange(len(torn))] = rng.randrange(256)
    return bytes(torn)


def a_block_again(content: bytes, rng: random.Random) -> bytes:
    low = rng.randrange(len(content))
    return content[:low] + content[low : low + 200] * rng.randint(2, 6) + content[low:]


def a_block_lost(content: bytes, rng: random.Random) -> bytes:
    low = rng.randrange(len(content))
    return content[:low] + content[low + rng.randint(1, 80) :]


def lines_shuffled(content: bytes, rng: random.Random) -> bytes:
    lines = content.split(b"\n")
    rng.shuffle(lines)
    return b"\n".join(lines)


def signs_strewn(content: bytes, rng: random.Random) -> bytes:
    for _ in range(rng.randint(1, 12)):
        at = rng.randrange(len(content) + 1)
        content = (
            content[:at]
            + rng.choice([b'"', b",", b";", b"\t", b"\r", b"\n\n", b"\x00", b"=1+1", b"'"])
            + content[at:]
        )
    return content


def in_other_letters(content: bytes, rng: random.Random) -> bytes:
    text = content.decode("latin-1")
    return text.encode(rng.choice(["utf-16", "utf-16-le", "utf-8-sig", "cp037", "utf-7"]))


def by_another_delimiter(content: bytes, rng: random.Random) -> bytes:
    return content.replace(b",", rng.choice([b";", b"\t", b"|", b" ", b",,", b":"]))


def numbers_gone_wild(content: bytes, rng: random.Random) -> bytes:
    return b"".join(
        rng.choice([b"9" * 40, b"-", b"1e999", b"nan", b"0", b"31/31/31"])
        if rng.random() < 0.1
        else bytes([byte])
        for byte in content
    )


MUTILATIONS: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    cut_short, bytes_flipped, a_block_again, a_block_lost, lines_shuffled, signs_strewn, in_other_letters,
    by_another_delimiter, numbers_gone_wild,
)  # fmt: skip


def mutilated(seed: int, count: int) -> dict[str, bytes]:
    rng = random.Random(seed)
    files = {}
    for number in range(count):
        text = LAYOUTS[rng.choice(sorted(LAYOUTS))]
        is_book = rng.random() < 0.15
        content = as_workbook(text) if is_book else text.encode()
        for _ in range(rng.randint(1, 3)):
            content = rng.choice(MUTILATIONS)(content or b"a", rng)
        files[f"{number:02}.{'xlsx' if is_book else rng.choice(['csv', 'tsv'])}"] = content
    return files


def every_file_is_named(root: Path, seed: int, count: int) -> None:
    files = mutilated(seed, count)
    _, report = ingested(write(root, files))
    named = {sheet.file for sheet in report.sheets} | {
        name for name in files if any(problem.startswith(name) for problem in report.problems)
    }
    assert named == set(files), (seed, set(files) - named)
    for sheet in report.sheets:
        assert sheet.read == sheet.kept + sheet.questioned + sheet.rejected + sheet.set_aside, (seed, sheet)


def test_mutilated_files_are_named(tmp_path: Path) -> None:
    every_file_is_named(tmp_path, FOLDERS, FEW)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(FOLDERS))
def test_two_thousand_mutilated_files_are_named(tmp_path: Path, seed: int) -> None:
    every_file_is_named(tmp_path, seed, A_FOLDER)
