"""What reading sheets costs beside the bare tools, as ratios of processor time taken in one run.

Reading is measured alone: the rules that judge entries have a bench of their own. Processor time, not
the clock, so that a busy machine does not decide.
"""

import resource
import time
from collections.abc import Callable
from pathlib import Path

import duckdb
import fastexcel
import pytest
import xlsxwriter

from pipeline.ingest import load
from tests.ingest.logbooks import GARAGE, ingested, write

# Ours over DuckDB's typed reading of the same sheet, both into memory or both into a file. What ours does
# beside: keep the bytes, refuse 1e5 and 1_000, count decimals, account for every row.
MOST_TIMES_TYPED = 2.5
MOST_TIMES_TYPED_IN_FILE = 3.2
MOST_TIMES_A_ROW = 3.0  # the bounded versions run beside other tests
MOST_TIMES_A_WORKBOOK_ROW = 4.0
MOST_TIMES_WORKBOOK = 3.0
MOST_EXPONENT = 1.05  # from 1e5 to 1e7 rows
MOST_MEMORY_MB = 1500


@pytest.fixture(autouse=True)
def reading_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(load, "find_doubts", lambda *_: None)


def processor_s(work: Callable[[], object], times: int = 3) -> float:
    return min(spent_s(work) for _ in range(times))


def spent_s(work: Callable[[], object]) -> float:
    begun = time.process_time()
    work()
    return time.process_time() - begun


def in_turn_s(*works: Callable[[], object], times: int = 5) -> list[float]:
    """Least processor seconds of each, taken in turn so that a slow minute falls on all of them."""
    return [
        min(spent) for spent in zip(*([spent_s(work) for work in works] for _ in range(times)), strict=True)
    ]


def season_csv(folder: Path, rows: int) -> Path:
    """Slips of many cars, every column filled, seeded and plain."""
    path = write(folder, {"garage.toml": ""}) / "slips.csv"
    with duckdb.connect() as con:
        con.execute("select setseed(0.660)")
        con.execute(
            """copy (
                select
                    date '2031-03-01' + (i // 40)::int % 700 as date,
                    printf('%02d:%02d', 10 + i % 12, i * 7 % 60) as time,
                    'Car ' || (i % 97) as car, 'Cinder Flats' as venue, 'Event ' || (i // 400) as event,
                    'Q' || (i % 4) as round, if(i % 2 = 0, 'left', 'right') as lane,
                    printf('%.3f', random() * 0.3) as reaction,
                    printf('%.3f', 1.3 + random() * 0.2) as t60, printf('%.3f', 3.9 + random() * 0.2) as t330,
                    printf('%.3f', 6.1 + random() * 0.2) as t660, printf('%.2f', 110 + random() * 4) as v660,
                    printf('%.3f', 8.1 + random() * 0.2) as t1000,
                    printf('%.3f', 9.8 + random() * 0.2) as t1320,
                    printf('%.2f', 138 + random() * 4) as v1320,
                    6000 + (random() * 10)::int * 100 as launch_rpm, 80 + (random() * 40)::int as track_temp,
                    'clean' as outcome, if(i % 10 = 0, 'felt good, "quoted" note', '') as notes
                from range($rows) as numbers(i)
            ) to '"""
            + str(path).replace("'", "''")
            + "' (header)",
            {"rows": rows},
        )
    return path


def typed_reading(path: Path, store: Path | str = ":memory:") -> None:
    if isinstance(store, Path):
        store.unlink(missing_ok=True)
    with duckdb.connect(str(store)) as con:
        con.execute("create table slips as select * from read_csv($path)", {"path": str(path)})


def measured(tmp_path: Path, rows: int) -> tuple[float, float]:
    """Processor seconds of DuckDB's typed reading and of ours, for a sheet of so many rows."""
    path = season_csv(tmp_path / str(rows), rows)
    return processor_s(lambda: typed_reading(path)), processor_s(lambda: ingested(path.parent))


def test_a_row_costs_a_few_times_its_bare_reading(tmp_path: Path) -> None:
    (small_typed, small_ours), (typed, ours) = measured(tmp_path, 30_000), measured(tmp_path, 230_000)
    ratio = (ours - small_ours) / (typed - small_typed)
    print(f"\none row costs {ratio:.2f} times DuckDB's typed reading")  # noqa: T201
    assert ratio < MOST_TIMES_A_ROW


@pytest.mark.long
def test_a_million_and_ten_million_rows(tmp_path: Path) -> None:
    path = season_csv(tmp_path / "million", 1_000_000)
    typed, ours, typed_in_file, in_file = in_turn_s(
        lambda: typed_reading(path),
        lambda: ingested(path.parent),
        lambda: typed_reading(path, tmp_path / "typed.duckdb"),
        lambda: into_file(path.parent, tmp_path / "million.duckdb"),
    )
    hundred = season_csv(tmp_path / "hundred", 100_000)
    least = processor_s(lambda: into_file(hundred.parent, tmp_path / "hundred.duckdb"))
    huge = season_csv(tmp_path / "huge", 10_000_000)
    most = processor_s(lambda: into_file(huge.parent, tmp_path / "huge.duckdb"), times=1)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    print(  # noqa: T201
        f"\n1e6 rows: {ours / typed:.2f} times typed in memory, {in_file / typed_in_file:.2f} in a file "
        f"({in_file / typed:.2f} times typed in memory); "
        f"1e5 to 1e7: {most / least:.1f} times; peak {peak_mb:.0f} MB"
    )
    assert ours / typed < MOST_TIMES_TYPED
    assert in_file / typed_in_file < MOST_TIMES_TYPED_IN_FILE
    assert most / least < 100**MOST_EXPONENT
    assert peak_mb < MOST_MEMORY_MB


def into_file(root: Path, store: Path) -> None:
    store.unlink(missing_ok=True)
    with duckdb.connect(str(store), config={"memory_limit": "900MB"}) as con:
        ingested(root, con)


def workbook(folder: Path, rows: int) -> Path:
    path = write(folder, {"garage.toml": GARAGE}) / "slips.xlsx"
    book = xlsxwriter.Workbook(path, {"constant_memory": True})
    tab = book.add_worksheet("slips")
    times = [
        "60 ft",
        "330 ft",
        "660 ft",
        "660 mph",
        "1000 ft",
        "1320 ft",
        "1320 mph",
        "launch rpm",
        "reaction",
    ]
    tab.write_row(0, 0, ["date", "time", "car", "event", "round", "lane", *times, "outcome", "notes"])
    for at in range(rows):
        day = f"2031-{at // 2000 % 12 + 1:02}-{at // 60 % 28 + 1:02}"
        words = [day, f"{8 + at % 12}:{at % 60:02}", "Marigold", "Spring", f"Q{at % 4}", "left"]
        numbers = [1.4 + at % 97 / 1e3, 4.0, 6.2, 112.3, 8.1, 9.7, 139.5, 6200, 0.1]
        tab.write_row(at + 1, 0, [*words, *numbers, "clean", "good"])
    book.close()
    return path


def test_a_workbook_costs_little_more_than_opening_it(tmp_path: Path) -> None:
    small, large = workbook_costs(tmp_path / "small", 2_000), workbook_costs(tmp_path / "large", 10_000)
    ratio = (large[1] - small[1]) / (large[0] - small[0])
    print(f"\na row of a workbook costs {ratio:.2f} times fastexcel's own reading")  # noqa: T201
    assert ratio < MOST_TIMES_A_WORKBOOK_ROW


@pytest.mark.long
def test_a_workbook_of_fifty_thousand_rows(tmp_path: Path) -> None:
    bare, ours = workbook_costs(tmp_path, 50_000)
    print(f"\na workbook of 50,000 rows costs {ours / bare:.2f} times fastexcel's own reading")  # noqa: T201
    assert ours / bare < MOST_TIMES_WORKBOOK


def workbook_costs(folder: Path, rows: int) -> tuple[float, float]:
    """Processor seconds of fastexcel's reading of a workbook and of ours."""
    path = workbook(folder, rows)
    ingested(folder)  # the first one pays for starting everything
    bare = processor_s(
        lambda: fastexcel.read_excel(path).load_sheet(0, header_row=None, dtypes="string").to_polars()
    )
    return bare, processor_s(lambda: ingested(folder))
