"""Reading fleets: one big table or many logbooks, what is missing, what could not be read."""

from pathlib import Path

import duckdb
import polars as pl
import pytest

from pipeline.errors import RequestError, ThinData
from pipeline.fleet.engine import KnownCars, OneMachine
from pipeline.fleet.findings import service_due_in_table, typing_trouble_in_table
from pipeline.fleet.model import sum_fleet
from pipeline.fleet.read import FleetCar, read_fleet, scratch_database, unique_names
from tests.fleet.fleet_tools import cars_of, fleet

HEADINGS = "car,event,t60_s,preload_turns,counterweight_g,launch_rpm,track_temp_degf,air_density_kg_per_m3"


def write(path: Path, runs: pl.DataFrame) -> Path:
    if path.suffix == ".parquet":
        runs.write_parquet(path)
    else:
        runs.write_csv(path, separator="\t" if path.suffix == ".tsv" else ",")
    return path


@pytest.mark.parametrize("name", ["runs.csv", "runs.tsv", "runs.parquet"])
def test_a_table_and_the_logbooks_give_the_same_sums(tmp_path: Path, name: str) -> None:
    runs = fleet(41, 5, runs=20).runs.with_columns(clutch_type=pl.lit("ten-spring"))
    path = write(tmp_path / name, runs)
    with duckdb.connect() as one, duckdb.connect() as other:
        read_fleet(one, path)
        read_fleet(other, cars_of(runs, "ten-spring"))
        table, books = (sum_fleet(engine, KnownCars.of(engine)) for engine in map(OneMachine, (one, other)))
    assert table.keys() == books.keys() == {"ten-spring"}
    assert table["ten-spring"].swept == pytest.approx(books["ten-spring"].swept, rel=1e-9, abs=1e-12)


def test_every_missing_heading_is_named(tmp_path: Path) -> None:
    path = tmp_path / "runs.csv"
    path.write_text("car,event,t60_s,launch_rpm\nA,1,1.5,6000\n")
    with duckdb.connect() as con, pytest.raises(RequestError) as said:
        read_fleet(con, path)
    for name in ("preload_turns", "counterweight_g", "track_temp_degf", "air_density_kg_per_m3"):
        assert name in str(said.value)


@pytest.mark.parametrize("name", ["runs.xlsx", "absent.csv"])
def test_what_is_no_table_is_refused(tmp_path: Path, name: str) -> None:
    with duckdb.connect() as con, pytest.raises(RequestError):
        read_fleet(con, tmp_path / name)


def test_cells_that_are_no_numbers_or_out_of_range_are_counted_not_used(tmp_path: Path) -> None:
    path = tmp_path / "runs.csv"
    rows = [f"A,1,1.4{i},3,4,6000,95,1.2" for i in range(8)]
    rows += ["A,1,1482,3,4,6000,95,1.2", "A,1,1.45,three,4,6000,95,1.2", "A,1,nan,3,inf,6000,95,1.2"]
    rows += ["A,1,1.50,,4,6000,95,1.2", ",1,1.50,3,4,6000,95,1.2"]
    path.write_text("\n".join([HEADINGS, *rows]) + "\n")
    with duckdb.connect() as con:
        read_fleet(con, path)
        found = con.sql("select runs, timed, cells_typed, cells_bad from fleet_cars").fetchall()
        engine = OneMachine(con)
        (sums,) = sum_fleet(engine, KnownCars.of(engine), robust=False).values()
    assert found == [(12, 10, 71, 4)]
    assert sums.runs.tolist() == [8]


def test_runs_not_to_be_used_and_runs_without_event_are_left_out(tmp_path: Path) -> None:
    path = tmp_path / "runs.csv"
    rows = [f"A,1,1.4{i},{2 + i / 4},4,6000,95,1.2,true," for i in range(6)]
    rows += ["A,1,1.47,3,4,6000,95,1.2,false,", "A,,1.47,3,4,6000,95,1.2,true,"]
    rows += ["A,,1.47,3,4,6000,95,1.2,true,2031-05-01"]
    path.write_text("\n".join([f"{HEADINGS},use_t60,run_date", *rows]) + "\n")
    with duckdb.connect() as con:
        read_fleet(con, path)
        engine = OneMachine(con)
        (sums,) = sum_fleet(engine, KnownCars.of(engine), robust=False).values()
    assert sums.runs.tolist() == [7]
    assert sums.events.tolist() == [2]


def test_a_table_without_a_usable_run_says_so(tmp_path: Path) -> None:
    path = tmp_path / "runs.csv"
    path.write_text(f"{HEADINGS}\nA,1,9999,3,4,6000,95,1.2\n")
    with duckdb.connect() as con, pytest.raises(ThinData, match="No run"):
        read_fleet(con, path)


def test_logbooks_without_runs_say_so() -> None:
    empty = fleet(42, 1, runs=10).runs.clear()
    with duckdb.connect() as con, pytest.raises(ThinData, match="The one car here has no run"):
        read_fleet(con, [FleetCar("A", "book", "six", empty)])


def test_cars_named_alike_in_two_logbooks_stay_apart() -> None:
    runs = fleet(43, 2, runs=10).runs
    cars = [FleetCar("Marigold", book, "six", runs) for book in ("north", "south")]
    assert unique_names([*cars, FleetCar("Clover", "north", "six", runs)]) == [
        "Marigold (north)",
        "Marigold (south)",
        "Clover",
    ]


def test_trouble_and_service_are_found_in_a_table(tmp_path: Path) -> None:
    runs = fleet(44, 12, runs=20).runs.with_columns(
        run_date=pl.lit("2031-05-01"),
        wear_in=pl.when(pl.col("car") == "car 000002").then(0.018).otherwise(0.004),
        service_growth_in=pl.lit(0.020),
    )
    bad = (pl.col("car") == "car 000003") & (pl.col("event") == "000")
    runs = runs.with_columns(t60_s=pl.when(bad).then(1482.0).otherwise(pl.col("t60_s")))
    path = write(tmp_path / "runs.csv", runs)
    with scratch_database() as con:
        read_fleet(con, path)
        known = KnownCars.of(OneMachine(con))
    (trouble,) = typing_trouble_in_table(known)
    (due,) = service_due_in_table(known)
    assert (trouble.car, trouble.doubtful) == ("car 000003", 10)
    assert (due.car, due.wear_in, due.service_growth_in) == ("car 000002", 0.018, 0.020)
    assert "service" in due.sentence


def test_the_scratch_database_goes_away() -> None:
    with scratch_database() as con:
        path = Path(con.sql("select path from duckdb_databases() where not internal").fetchall()[0][0])
        assert path.is_file()
    assert not path.parent.exists()
