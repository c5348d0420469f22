"""What became of each slip, of its car and its night."""

from pathlib import Path

import duckdb
import pytest

from pipeline.garage.logbook import Logbook
from pipeline.ingest.load import ingest_logbook
from pipeline.store.build_runs import build_runs
from pipeline.store.database import query
from tests.ingest.logbooks import write

HEADING = "date,time,car,event,60 ft,330 ft,660 ft\n"
TWO_CARS = '[[car]]\nname = "Marigold"\n\n[[car]]\nname = "Juniper"\n'
MARIGOLD = (
    "2031-05-01,10:00,Marigold,May Night,1.412,3.902,5.903\n"
    "2031-05-01,11:00,Marigold,May Night,1482,3.911,5.911\n"
    "2031-05-01,11:00,Marigold,May Night,1482,3.911,5.911\n"
    "2031-06-01,10:00,Marigold,June Night,1.415,3.905,5.905\n"
)
OTHER = "2031-05-01,10:30,Juniper,May Night,1.512,4.102,6.203\n2031-05-01,12:00,,May Night,1.411,3.9,5.9\n"


def fates(root: Path, garage: str, slips: str) -> list[tuple[int, str | None, str | None, str]]:
    write(root, {"garage.toml": garage, "slips.csv": HEADING + slips})
    with duckdb.connect() as con:
        ingest_logbook(con, Logbook.open(root))
        build_runs(con)
        counted = con.execute(query("clean/slip_fates")).fetchall()
        sums = con.execute("select kept, questioned, rejected from sheet_counts").fetchall()
    found = [row[-1] for row in counted]
    assert sums == [(found.count("kept"), found.count("questioned"), found.count("rejected"))]
    return [row[2:] for row in counted]


def test_every_slip_has_its_car_its_night_and_its_fate(tmp_path: Path) -> None:
    assert fates(tmp_path, TWO_CARS, MARIGOLD + OTHER) == [
        (2, "Marigold", "May Night", "kept"),
        (3, "Marigold", "May Night", "questioned"),
        (4, "Marigold", "May Night", "set_aside"),
        (5, "Marigold", "June Night", "kept"),
        (6, "Juniper", "May Night", "kept"),
        (7, None, "May Night", "kept"),
    ]


@pytest.mark.parametrize("car", ["", "Marigold"])
def test_a_slip_without_a_car_is_the_only_cars(tmp_path: Path, car: str) -> None:
    slips = MARIGOLD + f"2031-05-01,12:00,{car},,1.411,3.9,5.9\n"
    found = fates(tmp_path, '[[car]]\nname = "Marigold"\n', slips)
    assert [row[1] for row in found] == ["Marigold"] * 5
