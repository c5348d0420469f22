"""Anything at all in cells, headings, garage.toml and whole files: one sentence or a clean read.

What is read is accounted for row by row.
The bounded version runs always; the long one makes at least 1,000,000 cells and 50,000 files.
"""

import csv
import io
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

import duckdb
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.dictionary import SHEET_TABLES
from pipeline.errors import SlipledgerError
from pipeline.ingest.load import ingest_logbook
from pipeline.logbook import Logbook, read_garage

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


def try_sheets(sheets: list[tuple[list[str], list[list[str]], str, str]]) -> None:
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        for number, (head, rows, delimiter, encoding) in enumerate(sheets):
            suffix = "tsv" if delimiter == "\t" else "csv"
            (folder / f"sheet-{number}.{suffix}").write_bytes(csv_bytes(head, rows, delimiter, encoding))
        ingest(folder)


def try_file(name: str, content: bytes) -> None:
    with tempfile.TemporaryDirectory() as made:
        (Path(made) / name).write_bytes(content)
        ingest(Path(made))


def try_garage(text: str) -> None:
    with tempfile.TemporaryDirectory() as made:
        path = Path(made) / "garage.toml"
        path.write_bytes(text.encode("utf-8", errors="surrogatepass"))
        assert refusal(lambda: read_garage(path)) != ""


FILES = st.sampled_from(["a.csv", "a.tsv", "a.xlsx", "a.ods", "a.xls"])
GARAGE_TEXT = st.one_of(
    st.text(max_size=200),
    st.lists(
        st.tuples(
            st.sampled_from(["[[car]]", "[[clutch]]", "[[venue]]", "[[adjustment]]", "[headings]", "[car]"]),
            st.sampled_from(
                ["name", "also", "clutch", "base_load", "safe_turns", "elevation", "limits", "lmits"]
            ),
            st.sampled_from(
                ['"x"', "3", "-1", "nan", "inf", "[1, 2]", "[2, 1]", '"360 lb"', "true", "{}", '"../.."']
            ),
        ),
        max_size=6,
    ).map(lambda parts: "\n".join(f"{table}\n{key} = {value}" for table, key, value in parts)),
)


@settings(max_examples=40, deadline=None, suppress_health_check=SLOW)
@given(SHEETS)
def test_any_sheet_is_read_or_refused_in_a_sentence(
    sheets: list[tuple[list[str], list[list[str]], str, str]],
) -> None:
    try_sheets(sheets)


@settings(max_examples=60, deadline=None, suppress_health_check=SLOW)
@given(FILES, st.binary(max_size=400))
def test_any_file_is_read_or_refused_in_a_sentence(name: str, content: bytes) -> None:
    try_file(name, content)


@settings(max_examples=150, deadline=None, suppress_health_check=SLOW)
@given(GARAGE_TEXT)
def test_any_garage_is_read_or_refused_in_a_sentence(text: str) -> None:
    try_garage(text)


@pytest.mark.long
def test_a_million_cells_and_fifty_thousand_files() -> None:
    settings(max_examples=17_000, deadline=None, suppress_health_check=SLOW)(given(SHEETS)(try_sheets))()
    settings(max_examples=33_000, deadline=None, suppress_health_check=SLOW)(
        given(FILES, st.binary(max_size=400))(try_file)
    )()
