"""Anything at all in cells, headings, garage.toml and whole files: one sentence or a clean read.

What is read is accounted for row by row.
The bounded version runs always; the long one makes at least 1,000,000 cells and 50,000 files, many to a
logbook, because a logbook costs more than a sheet.
"""

import csv
import io
import random
import tempfile
import zipfile
from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path

import duckdb
import pytest
import xlsxwriter
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.errors import SlipledgerError
from pipeline.garage.dictionary import SHEET_TABLES
from pipeline.garage.logbook import Logbook, read_garage
from pipeline.ingest.load import ingest_logbook

HEADINGS = sorted(
    {
        text
        for table in SHEET_TABLES.values()
        for column in table.columns
        for text in (column.heading, *column.aliases)
        if text
    }
    | {"date", "time"}
)
NUMBERS = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True).map(str),
    st.integers(-(10**20), 10**20).map(str),
    st.sampled_from(
        ["nan", "inf", "1e308", "1e5", "1_000", "1,482", "1482", "29.92 inHg", "=1+1", "-0", "½", "٣"]
    ),
)
DATES = st.one_of(
    st.dates().map(str),
    st.sampled_from(
        ["5/2/31", "31/5/2031", "2031-02-30", "May 2, 2031", "0000-00-00", "2031-05-02 19:30", "noon"]
    ),
)
NASTY = st.sampled_from(
    [
        "<script>alert(1)</script>",
        "'; drop table runs; --",
        "../../etc/passwd",
        "\x00",
        "\ufeff",
        '"',
        "\n",
        "=cmd()|x",
    ]
)
CELLS = st.one_of(st.text(max_size=30), NUMBERS, DATES, NASTY)
HEADS = st.one_of(st.sampled_from(HEADINGS), st.text(max_size=20), NASTY)
SLOW = (HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much)

Sheet = tuple[list[str], list[list[str]], str, str]

# Sheets a generator draws: cells per example ~60 and files per example 1 to 3.
SHEETS = st.lists(
    st.tuples(
        st.lists(HEADS, min_size=1, max_size=12),
        st.lists(st.lists(CELLS, max_size=13), max_size=12),
        st.sampled_from([",", ";", "\t"]),
        st.sampled_from(["utf-8", "utf-16", "cp1252", "utf-8-sig"]),
    ),
    min_size=1,
    max_size=3,
)


def csv_bytes(head: list[str], rows: Iterable[list[str]], delimiter: str, encoding: str) -> bytes:
    target = io.StringIO()
    writer = csv.writer(target, delimiter=delimiter)
    writer.writerow(["date", "car", "60 ft", *head])
    writer.writerows(rows)
    return target.getvalue().encode(encoding, errors="replace")


def refusal(work: Callable[[], object]) -> str | None:
    """The sentence with which work is refused; None when it is done."""
    try:
        work()
    except SlipledgerError as refused:
        return str(refused)
    return None


def ingest(folder: Path) -> None:
    """Ingest or refuse in one sentence; when it reads, every row is accounted for."""
    with duckdb.connect() as con:
        if (sentence := refusal(lambda: ingest_logbook(con, Logbook.open(folder)))) is not None:
            assert sentence
            assert "\n" not in sentence
            return
        unaccounted = con.execute(
            "select * from sheet_counts where read <> kept + questioned + rejected + set_aside"
        ).fetchall()
        assert unaccounted == []


def try_files(files: list[tuple[str, bytes]]) -> None:
    with tempfile.TemporaryDirectory() as made:
        for number, (name, content) in enumerate(files):
            (Path(made) / f"{number}-{name}").write_bytes(content)
        ingest(Path(made))


def files_of(sheets: list[Sheet]) -> list[tuple[str, bytes]]:
    return [
        ("sheet.tsv" if delimiter == "\t" else "sheet.csv", csv_bytes(head, rows, delimiter, encoding))
        for head, rows, delimiter, encoding in sheets
    ]


def try_sheets(sheets: list[Sheet]) -> None:
    try_files(files_of(sheets))


def try_garage(text: str) -> None:
    with tempfile.TemporaryDirectory() as made:
        path = Path(made) / "garage.toml"
        path.write_bytes(text.encode("utf-8", errors="surrogatepass"))
        assert refusal(lambda: read_garage(path)) != ""


SPOILERS = (b"", b"9", b"<", b'"', b"\xff", b"A1:XFD9")


@cache
def workbook() -> bytes:
    """Make a small sound workbook, to be spoilt."""
    target = io.BytesIO()
    with xlsxwriter.Workbook(target, {"in_memory": True}) as book:
        for tab in ("slips", "weather"):
            sheet = book.add_worksheet(tab)
            sheet.write_row(0, 0, ["date", "time", "60 ft"])
            sheet.write_row(1, 0, ["2031-05-02", "10:00", 1.482])
            sheet.write_row(2, 0, ["2031-05-02", 0.5])
    return target.getvalue()


def spoilt_workbook(seed: int) -> bytes:
    """Spoil a few bytes of one part of a sound workbook, and pack it again so that it opens."""
    luck = random.Random(seed)
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook())) as whole, zipfile.ZipFile(target, "w") as packed:
        chosen = luck.choice([name for name in whole.namelist() if name.endswith((".xml", ".rels"))])
        for name in whole.namelist():
            content = bytearray(whole.read(name))
            for _ in range(luck.randint(1, 6) if name == chosen else 0):
                at = luck.randrange(len(content))
                content[at : at + luck.randint(0, 4)] = luck.choice(SPOILERS)
            packed.writestr(name, bytes(content))
    return target.getvalue()


def cut_workbook(seed: int) -> bytes:
    """Cut a sound workbook short, or turn a byte of it."""
    luck = random.Random(seed)
    content = bytearray(workbook())
    if luck.random() < 0.5:
        return bytes(content[: luck.randrange(len(content))])
    content[luck.randrange(len(content))] ^= 1 << luck.randrange(8)
    return bytes(content)


NAMES = st.sampled_from(["a.csv", "a.tsv", "a.xlsx", "a.ods", "a.xls"])
SEEDS = st.integers(0, 2**32)
FILES = st.one_of(
    st.tuples(NAMES, st.binary(max_size=400)),
    st.tuples(st.just("a.xlsx"), SEEDS.map(spoilt_workbook)),
    st.tuples(st.just("a.xlsx"), SEEDS.map(cut_workbook)),
)
GARAGE_TEXT = st.one_of(
    st.text(max_size=200),
    st.lists(
        st.tuples(
            st.sampled_from(["[[car]]", "[[clutch]]", "[[venue]]", "[[adjustment]]", "[headings]", "[car]"]),
            st.sampled_from(
                ["name", "also", "clutch", "base_load", "safe_turns", "elevation", "limits", "lmits"]
            ),
            st.sampled_from(
                ['"x"', "3", "-1", "nan", "inf", "[1, 2]", "[2, 1]", '"300 lb"', "true", "{}", '"../.."']
            ),
        ),
        max_size=6,
    ).map(lambda parts: "\n".join(f"{table}\n{key} = {value}" for table, key, value in parts)),
)


@settings(max_examples=12, deadline=None, suppress_health_check=SLOW)
@given(SHEETS)
def test_any_sheet_is_read_or_refused_in_a_sentence(sheets: list[Sheet]) -> None:
    try_sheets(sheets)


@settings(max_examples=12, deadline=None, suppress_health_check=SLOW)
@given(st.lists(FILES, min_size=5, max_size=5))
def test_any_files_are_read_or_refused_in_a_sentence(files: list[tuple[str, bytes]]) -> None:
    try_files(files)


@settings(max_examples=60, deadline=None, suppress_health_check=SLOW)
@given(GARAGE_TEXT)
def test_any_garage_is_read_or_refused_in_a_sentence(text: str) -> None:
    try_garage(text)


class Logbooks:
    """Gathers files and ingests them many to a logbook; one that fails is tried again file by file."""

    def __init__(self) -> None:
        self.waiting: list[tuple[str, bytes]] = []
        self.files = 0
        self.cells = 0
        self.faults: list[str] = []

    def add_sheets(self, sheets: list[Sheet]) -> None:
        self.cells += sum(len(row) for _, rows, *_ in sheets for row in rows)
        for file in files_of(sheets):
            self.add_file(file)

    def add_file(self, file: tuple[str, bytes]) -> None:
        self.waiting.append(file)
        self.files += 1
        if len(self.waiting) == FILES_A_LOGBOOK:
            self.ingest()

    def ingest(self) -> None:
        files, self.waiting = self.waiting, []
        if fault_of(files) is None:
            return
        alone = [f"{file!r}: {fault!r}" for file in files if (fault := fault_of([file])) is not None]
        self.faults += alone or [f"{files!r}: only together"]


def fault_of(files: list[tuple[str, bytes]]) -> BaseException | None:
    try:
        try_files(files)
    except KeyboardInterrupt:
        raise
    except BaseException as fault:  # a panic inside a reader is none of Exception
        return fault
    return None


FILES_A_LOGBOOK = 150


@pytest.mark.long
def test_a_million_cells_and_fifty_thousand_files() -> None:
    many = settings(max_examples=1000, deadline=None, suppress_health_check=SLOW, database=None)
    logbooks = Logbooks()
    while logbooks.cells < 1_000_000:
        many(given(SHEETS)(logbooks.add_sheets))()
    while logbooks.files < 50_000:
        many(given(FILES)(logbooks.add_file))()
    logbooks.ingest()
    print(  # noqa: T201
        f"\n{logbooks.cells} cells, {logbooks.files} files, {len(logbooks.faults)} faults"
    )
    assert logbooks.faults == []


@pytest.mark.long
def test_fifty_thousand_garages() -> None:
    settings(max_examples=50_000, deadline=None, suppress_health_check=SLOW, database=None)(
        given(GARAGE_TEXT)(try_garage)
    )()
