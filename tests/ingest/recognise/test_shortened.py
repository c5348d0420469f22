"""What people leave out: the unit of a speed, the rest of a strip's name, the date behind a weekday."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

HEADS = "date,time,60 ft,330 ft,660 ft,{speed},1320 ft"
ROWS = (
    "2031-05-14,10:07,1.482,4.061,6.303,{},9.79\n2031-05-14,11:40,1.490,4.075,6.321,{},9.81\n"
    "2031-05-14,13:15,1.479,4.052,6.290,{},9.77\n"
)
KMH = ("177.0", "176.4", "177.8")
MPH = ("110.0", "109.6", "110.5")


@pytest.mark.parametrize(
    ("heading", "typed", "asked"),
    [("201 m speed", KMH, 0), ("speed 660", MPH, 0), ("660 ft km/h", MPH, 1), ("660 ft mph", KMH, 1)],
)
def test_a_speed_has_the_unit_in_which_it_fits_the_times(
    tmp_path: Path, heading: str, typed: tuple[str, ...], asked: int
) -> None:
    con, report = ingested(
        write(tmp_path, {"a.csv": HEADS.format(speed=heading) + "\n" + ROWS.format(*typed)})
    )
    assert column(con, "timeslips", "v660_mph") == pytest.approx([110.0, 109.6, 110.5], abs=0.06)
    assert report.open_questions == asked


GARAGE = """
[[car]]
name = "Marigold"
[[venue]]
name = "Aerodrome de Sainte-Orge"
[[venue]]
name = "Moorfelder Meile"
"""


@pytest.mark.parametrize(
    ("typed", "strip"),
    [("Ste-Orge", "Aerodrome de Sainte-Orge"), ("Moorfeld", "Moorfelder Meile"), ("Meadow", "Meadow")],
)
def test_a_strip_by_a_few_of_its_letters(tmp_path: Path, typed: str, strip: str) -> None:
    rows = f"date,strip,60 ft,330 ft\n2031-05-14,{typed},1.482,4.061\n2031-05-14,{typed},1.490,4.075\n"
    con, _ = ingested(write(tmp_path, {"a.csv": rows, "garage.toml": GARAGE}))
    assert set(column(con, "timeslips", "venue")) == {strip}


def test_a_short_strip_in_a_line_above(tmp_path: Path) -> None:
    rows = "date,60 ft,330 ft\nSte-Orge - Opening,,\n2031-05-14,1.482,4.061\n2031-05-14,1.490,4.075\n"
    con, _ = ingested(write(tmp_path, {"a.csv": rows, "garage.toml": GARAGE}))
    assert set(column(con, "timeslips", "venue", "event")) == {("Aerodrome de Sainte-Orge", "Opening")}


def test_a_weekday_is_the_day_of_the_meet_above(tmp_path: Path) -> None:
    rows = (
        "Harvest Meet\nSat July 26 2031 and Sun July 27\n\nDay,Time,60 ft,330 ft\n"
        "Sat,9:46am,1.482,4.061\n,10:45am,1.490,4.075\n,12:45pm,1.491,4.077\nSun,9:30am,1.479,4.052\n,10:30am,1.481,4.055\n"
    )
    con, report = ingested(write(tmp_path, {"a.csv": rows}))
    assert [f"{at:%d}" for at in column(con, "timeslips", "run_at")] == ["26", "26", "26", "27", "27"]
    assert report.open_questions == 0


def test_numbers_are_no_strip(tmp_path: Path) -> None:
    rows = (
        "date,60 ft,330 ft,trk\n"
        "2031-05-14,1.482,4.061,88\n2031-05-14,1.490,4.075,92\n2031-05-14,1.488,4.07,95\n"
    )
    con, _ = ingested(write(tmp_path, {"a.csv": rows}))
    assert column(con, "timeslips", "track_temp_degf") == [88.0, 92.0, 95.0]


def test_two_headings_a_blank_apart_over_two_columns(tmp_path: Path) -> None:
    text = (
        "Harvest Meet Saturday 26 July 2031\n"
        "time     lane react   60ft   330ft   660ft   1320ft\n"
        "9.32am   L    0.056   1.482  4.061   6.303   9.790\n"
        "10.25am  R    0.118   1.490  4.075   6.321   9.810\n"
        "11.55am  R    0.144   1.479  4.052   6.290   9.770\n"
        "12.47pm  L    0.099   1.481  4.055   6.295   9.775\n"
    )
    con, report = ingested(write(tmp_path, {"a.txt": text}))
    assert column(con, "timeslips", "reaction_s") == [0.056, 0.118, 0.144, 0.099]
    assert column(con, "timeslips", "lane") == ["left", "right", "right", "left"]
    assert report.open_questions == 0


@pytest.mark.parametrize("typed", [("6.200", "6.300", "6.200"), ("6.2", "6.3", "6.2")])
def test_launch_rpm_in_thousands(tmp_path: Path, typed: tuple[str, ...]) -> None:
    rows = "date,time,60 ft,330 ft,launch rpm\n" + "".join(
        f"2031-05-14,1{at}:00,1.48{at},4.06{at},{rpm}\n" for at, rpm in enumerate(typed)
    )
    con, report = ingested(write(tmp_path, {"a.csv": rows}))
    assert column(con, "timeslips", "launch_rpm") == [6200.0, 6300.0, 6200.0]
    assert report.open_questions == 0


@pytest.mark.parametrize("remark", ["kettle on, long wait for oil-down", "just slow staging"])
def test_a_remark_in_the_column_of_the_strip_is_no_strip(tmp_path: Path, remark: str) -> None:
    rows = (
        "date,where,time,60 ft,330 ft\n2031-05-14,Moorfeld,10:00,1.481,4.061\n,,11:00,1.482,4.062\n"
        f',"{remark}",,,\n,,12:00,1.483,4.063\n,"{remark}",,,\n,,13:00,1.484,4.064\n'
    )
    con, _ = ingested(write(tmp_path, {"a.csv": rows, "garage.toml": GARAGE}))
    assert set(column(con, "timeslips", "venue")) == {"Moorfelder Meile"}


def test_a_day_in_spanish_with_its_strip_and_its_air_above_each_table(tmp_path: Path) -> None:
    heads = "hora,calle,60 pies,octavo,km/h,cómo fue\n"
    day = "sábado {} de abril de 2031,,Moorfeld,,Apertura,\n"
    day += "aire 13 ºC,,presión en pista 928 mb,,humedad {} %,\n"
    rows = "9:39,dcha.,1.49,6.24,184,bien\n11:25,izq.,1.48,6.25,183,muy bien\n"
    con, _ = ingested(
        write(
            tmp_path,
            {"a.csv": "".join(day.format(n, 60 + n) + heads + rows for n in (5, 12)), "garage.toml": GARAGE},
        )
    )
    assert [f"{at:%d %H:%M}" for at in column(con, "timeslips", "run_at")] == [
        "05 09:39", "05 11:25", "12 09:39", "12 11:25",
    ]  # fmt: skip
    assert set(column(con, "timeslips", "venue", "event", "outcome")) == {
        ("Moorfelder Meile", "Apertura", "clean"),
    }  # fmt: skip
    air = column(con, "weather", "pressure_inhg", "humidity_pct")
    assert {(round(pressure, 2), humidity) for pressure, humidity in air} == {(27.4, 65.0), (27.4, 72.0)}


def test_two_cars_under_their_names_beside_a_day_in_the_upper_line(tmp_path: Path) -> None:
    rows = (
        "Date,Track,GOOSE (hers),,,,,GANDER (his),,,,,Sky,\n"
        ",,Time,RT,60',1/8,,Time,RT,60',1/8,,Air F,Track F\n"
        "4/15/2031,Moorfeld,10:18 AM,0.05,1.558,6.65,,10:15 AM,0.141,1.465,6.173,,60,73\n"
        ",,11:30 AM,0.169,1.553,6.658,,11:35 AM,-0.052,1.47,6.188,,63,80\n"
        ",,12:51 PM,0.15,1.544,6.662,,12:50 PM,0.076,1.453,6.163,,66,85\n"
        ",,1:59 PM,0.04,1.555,6.671,,2:05 PM,0.046,1.466,6.171,,67,87\n"
    )
    garage = GARAGE.replace('"Marigold"', '"Goose"\n[[car]]\nname = "Gander"')
    con, _ = ingested(write(tmp_path, {"a.csv": rows, "garage.toml": garage}))
    slips = sorted(column(con, "timeslips", "car", "run_at", "t60_s"))
    assert [(car, f"{at:%d %H:%M}", t60) for car, at, t60 in slips][:5] == [
        ("Gander", "15 10:15", 1.465), ("Gander", "15 11:35", 1.47), ("Gander", "15 12:50", 1.453),
        ("Gander", "15 14:05", 1.466), ("Goose", "15 10:18", 1.558),
    ]  # fmt: skip
