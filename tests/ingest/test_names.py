"""Names of cars and strips that garage.toml does not list: one name spelled two ways is asked about."""

from pathlib import Path

import pytest

from pipeline.ingest.spellings import read_names
from tests.ingest.logbooks import column, ingested, write

HEADING = "date,time,car,venue,60 ft,330 ft\n"


def slips(*names: tuple[str, str, int]) -> str:
    """Rows of ``times`` runs each of a car at a strip."""
    rows = [(car, venue) for car, venue, times in names for _ in range(times)]
    return HEADING + "".join(
        f"2025-05-04,{9 + at // 60}:{at % 60:02},{car},{venue},1.4{at % 90 + 10},3.9{at % 80 + 10}\n"
        for at, (car, venue) in enumerate(rows)
    )


def asked(root: Path, **files: str) -> list[tuple[object, ...]]:
    con, _ = ingested(write(root, {f"{name}.csv": text for name, text in files.items()}))
    return con.execute(
        'select file, row, "column", "value", suggestion from questions '
        "where \"column\" in ('car', 'venue') order by file, row"
    ).fetchall()


def test_a_rare_spelling_close_to_a_common_one_is_asked_about(tmp_path: Path) -> None:
    text = slips(
        ("Marigold", "Cinder Flats", 12), ("Marygold", "Cinder Flats", 1), ("Marigold", "Cinder Flat", 2)
    )
    assert asked(tmp_path, slips=text) == [
        ("slips.csv", 14, "car", "Marygold", "Marigold"),
        ("slips.csv", 15, "venue", "Cinder Flat", "Cinder Flats"),
        ("slips.csv", 16, "venue", "Cinder Flat", "Cinder Flats"),
    ]


def test_a_sheet_that_spells_the_strip_in_its_own_way_is_asked_about(tmp_path: Path) -> None:
    rows = "".join(f"2025-05-04,{9 + at}:00,Cinder Flt,80,50\n" for at in range(6))
    air = "date,time,venue,air temp,humidity\n" + rows
    found = asked(tmp_path, slips=slips(("Marigold", "Cinder Flats", 12)), air=air)
    assert [(file, suggestion) for file, *_, suggestion in found] == [("air.csv", "Cinder Flats")] * 6


def test_case_and_spaces_make_no_other_name(tmp_path: Path) -> None:
    text = slips(
        ("Marigold", "Cinder Flats", 3), ("marigold", "Cinderflats", 1), ("MARI-GOLD", "cinder flats", 1)
    )
    con, _ = ingested(write(tmp_path, {"slips.csv": text}))
    assert set(column(con, "timeslips", "car", "venue")) == {("Marigold", "Cinder Flats")}


@pytest.mark.parametrize(
    "names",
    [
        [("Car 1", "Cinder Flats", 12), ("Car 2", "Cinder Flats", 1)],
        [("Marigold", "Cinder Flats", 12), ("Marigolda", "Cinder Flats", 5)],
        [("Marigold", "Cinder Flats", 12), ("Juniper", "Harrow Lane", 1)],
    ],
)
def test_names_that_are_two_are_left_alone(tmp_path: Path, names: list[tuple[str, str, int]]) -> None:
    assert asked(tmp_path, slips=slips(*names)) == []


def test_names_in_garage_toml_are_known_to_be_two(tmp_path: Path) -> None:
    garage = '[[car]]\nname = "Marigold"\n\n[[car]]\nname = "Marygold"\n'
    (tmp_path / "garage.toml").write_text(garage, encoding="utf-8")
    assert (
        asked(tmp_path, slips=slips(("Marigold", "Cinder Flats", 12), ("Marygold", "Cinder Flats", 1))) == []
    )


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Mill Run", "Mill Run Dragway"),
        ("OTTAWAY", "Ottaway County Strip"),
        ("MLR", "Mill Run Dragway"),
        ("O", "Ottaway County Strip"),
        ("Dragway", None),
        ("County Line", None),
    ],
)
def test_short_names_of_listed_strips(typed: str, meant: str | None) -> None:
    known: dict[str, list[str]] = {"Mill Run Dragway": [], "Ottaway County Strip": []}
    name, likely = read_names([typed], known)[typed]
    assert (name, likely) == (meant or typed, None)


def test_short_names_that_fit_two_are_none() -> None:
    known: dict[str, list[str]] = {"Blue Bird": [], "Blue Wagon": []}
    assert {name for name, _ in read_names(["Blue", "B"], known).values()} == {"Blue", "B"}


def test_a_remark_that_comes_twice_below_the_strips_is_no_strip(tmp_path: Path) -> None:
    rows = ["date,track,pass,60 ft,330 ft,660 ft"]
    for day in (4, 11):
        rows += [f"5/{day}/2025,Cinder Flats,1,1.451,3.991,6.11", ",tires at 11 lb,,,,"]
        rows += [f",,{run},1.45{run},3.99{run},6.11{run}" for run in (2, 3, 4)]
    con, _ = ingested(write(tmp_path, {"slips.csv": "\n".join(rows)}))
    assert set(column(con, "timeslips", "venue")) == {"Cinder Flats"}
