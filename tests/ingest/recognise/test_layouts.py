"""Sheets of every layout, each as somebody keeps it, all the way to the clean tables."""

import datetime as dt
from pathlib import Path

import pytest

from pipeline.store.build_runs import build_runs
from tests.ingest.logbooks import GARAGE, column, ingested, slips_of, write

RUNS = [
    (dt.datetime(2031, 5, 14, 10, 0), 1.482, 6.21, 112.3),
    (dt.datetime(2031, 5, 14, 11, 0), 1.49, 6.222, 112.1),
]
LAYOUTS = {
    "runs across": """Run,1,2
Date,5/14/2031,5/14/2031
Time,10:00,11:00
Lane,left,right
60',1.482,1.490
660',6.210,6.222
MPH 660,112.30,112.10
Launch,5600,5600
""",
    "one value a line": """run,when,what,reading
1,2031-05-14 10:00,60 ft,1.482
1,,330 ft,4.05
1,,660 ft,6.210
1,,660 mph,112.3
2,2031-05-14 11:00,60 ft,1.490
2,,330 ft,4.06
2,,660 ft,6.222
2,,660 mph,112.1
""",
    "one value a line, its unit beside it": """run,item,figure,unit
1,date,5/14/2031,
1,time,10:00,
1,ET 60 ft,1.482,s
1,ET 660 ft,6.210,s
1,speed 660 ft,112.3,mph
2,date,5/14/2031,
2,time,11:00,
2,ET 60 ft,1.490,s
2,ET 660 ft,6.222,s
2,speed 660 ft,112.1,mph
""",
    "distances in meters": """Data;Hora;18 m;201 m;Vel. 201 m (km/h)
14.05.31;10h00;1,482;6,210;180,72933
14.05.31;11h00;1,490;6,222;180,40746
""",
    "two rows of headings": """When,,Start,1/8 mile,
date,time,60',ET,MPH
5/14/2031,10:00,1.482,6.210,112.3
5/14/2031,11:00,1.490,6.222,112.1
""",
    "a units row": """date,time,60 ft,660 ft,660 speed
,,s,s,km/h
2031-05-14,10:00,1.482,6.21,180.729331
2031-05-14,11:00,1.490,6.222,180.407462
""",
    "time and speed in one cell": """date,time,60,1/8
2031-05-14,10:00,1.482,6.210 @ 112.3
2031-05-14,11:00,1.490,6.222 @ 112.1
""",
    "no points": """date,time,60,330,660,mph
2031-05-14,1000,1482,4050,6210,11230
2031-05-14,1100,1490,4060,6222,11210
""",
    "a title with the date": """Opener at Cinder Flats - May 14 2031,,,
time,60 ft,660 ft,660 mph
10:00,1.482,6.210,112.3
11:00,1.490,6.222,112.1
""",
    "cards with two speeds": """Date,5/14/2031
Time,10:00
R/T,.081
60',1.482
330',4.050
1/8,6.210
MPH,112.3
1/4,9.702
MPH,139.5

Date,5/14/2031
Time,11:00
R/T,.052
60',1.490
330',4.061
1/8,6.222
MPH,112.1
1/4,9.713
MPH,139.2
""",
    "the whole slip in one cell": """Day,Time,Slip (rt - 60 - 330 - 660@mph - 1320@mph)
5/14/2031,10:00,.081 - 1.482 - 4.050 - 6.210@112.3 - 9.702@139.5
5/14/2031,11:00,.052 - 1.490 - 4.061 - 6.222@112.1 - 9.713@139.2
""",
    "a line for the day, the air below the runs": """14 May 2031,Cinder Flats,Opener,,
TIME,LANE,60 FT,660 FT,660 MPH
1000,L,1.482,6.210,112.3
1100,R,1.490,6.222,112.1
TIME,AIR TEMP,STATION PRESSURE,HUMIDITY,
0940,71,29.12,40,
1130,74,29.10,38,
""",
    "the year in the title only": """Season 2031
day,time,60 ft,660 ft,660 mph
Wed May 14,10:00,1.482,6.210,112.3
Wed May 14,11:00,1.490,6.222,112.1
""",
    "a phone note": """"notes 2031"
"Wed May 14 2031 / Cinder Flats / Opener"
10:00 L lane 60 1.482 660 6.210 at 112.3
11:00 R lane 60 1.490 660 6.222 at 112.1 ... spun a bit
12:00 air 75F hum 40%
13:00 air 77F hum 38%
""",
    "cards": """TRACK:,Cinder Flats,,DATE:,5/14/2031
Time,60',660',MPH @ 660
10:00,1.482,6.210,112.3
11:00,1.490,6.222,112.1
Best 60,1.482
""",
    "both lanes on a row": """Date,Time,L car,L 60,L 660,L 660 MPH,R car,R 60,R 660,R 660 MPH
5/14/2031,10:00,Marigold,1.482,6.210,112.3,green pickup,1.6,6.9,99.0
5/14/2031,11:00,white sedan,1.7,7.1,96.0,Marigold,1.490,6.222,112.1
""",
    "from distance to distance": """Date,Time,to 60,60-330,330-660,mph in 1/8
5/14/2031,10:00,1.482,2.568,2.160,112.3
5/14/2031,11:00,1.490,2.570,2.162,112.1
""",
}


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_run_is_read(tmp_path: Path, layout: str) -> None:
    con, report = slips_of(tmp_path, LAYOUTS[layout], "log.csv")
    found = column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph")
    assert [run[0] for run in found] == [run[0] for run in RUNS]
    for run, truth in zip(found, RUNS, strict=True):
        assert run[1:] == pytest.approx(truth[1:], abs=1e-5)
    total = report.total
    assert total.read == total.kept + total.questioned + total.rejected + total.set_aside


def test_everything_on_one_row_is_a_reading_and_a_check_too(tmp_path: Path) -> None:
    sheet = (
        "date,time,60,660,660 mph,air,station,hum,turns,ring ht\n"
        "2031-05-14,10:00,1.482,6.21,112.3,75,29.92,40,3,1.961\n2031-05-14,11:00,1.490,6.22,112.1,77,29.91,38,3,\n"
    )
    con, _ = slips_of(tmp_path, sheet)
    assert column(con, "weather", "air_temp_degf", "pressure_inhg", "pressure_kind", "humidity_pct") == [
        (75.0, 29.92, "station", 40.0), (77.0, 29.91, "station", 38.0),
    ]  # fmt: skip
    assert column(con, "checks", "ring_height_in") == [1.961]
    assert column(con, "timeslips", "preload_turns") == [3.0, 3.0]


def test_without_a_garage_the_only_car_has_the_folders_name(tmp_path: Path) -> None:
    root = write(
        tmp_path / "my wagon", {"passes.csv": "date,where,60,660\n2031-05-14,Cinder Flats,1.482,6.21\n"}
    )
    con, _ = ingested(root)
    assert column(con, "timeslips", "car", "venue") == [("my wagon", "Cinder Flats")]


def test_blanks_mean_as_above_within_the_day(tmp_path: Path) -> None:
    rows = "2031-05-14,Cinder Flats,Opener,1.482,6.21\n,,,1.490,6.22\n,,,1.486,6.23\n"
    rows += "2031-05-21,Harrow Lane,Closer,1.5,6.3\n"
    con, _ = slips_of(tmp_path, "date,strip,event,60,660\n" + rows)
    assert column(con, "timeslips", "venue", "event") == [("Cinder Flats", "Opener")] * 3 + [
        ("Harrow Lane", "Closer")
    ]


def test_a_reading_without_a_strip_belongs_to_that_days(tmp_path: Path) -> None:
    slips = "date,strip,60,660\n2031-05-14,Harrow Lane,1.482,6.21\n2031-05-21,,1.490,6.22\n"
    air = "date,time,temp,humidity\n2031-05-14,10:00,75,40\n2031-05-21,10:00,77,38\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "slips.csv": slips, "air.csv": air}))
    assert column(con, "weather", "venue") == ["Harrow Lane", "Cinder Flats"]
    assert column(con, "timeslips", "venue") == ["Harrow Lane", "Cinder Flats"]


def test_a_line_between_rows_gives_strip_and_event(tmp_path: Path) -> None:
    sheet = (
        "date,60,660\nPoints 1 at Quarry Road,,\n2031-05-14,1.482,6.21\n2031-05-14,1.490,6.22\n"
        "Points 2 at Cinder Flats,,\n2031-05-21,1.486,6.23\n"
    )
    garage = GARAGE + '\n[[venue]]\nname = "Quarry Road"\n'
    con, _ = ingested(write(tmp_path, {"garage.toml": garage, "log.csv": sheet}))
    assert column(con, "timeslips", "venue", "event") == [("Quarry Road", "Points 1")] * 2 + [
        ("Cinder Flats", "Points 2")
    ]


@pytest.mark.parametrize(
    "changes",
    [
        "when,turns,launch rpm\nbefore run 1,3,5600\nbefore run 2,3.5,\n",
        "date,before the run of,turns\n2031-05-14,10:00,3\n2031-05-14,11:00,3.5\n",
    ],
)
def test_changes_noted_by_run_get_that_runs_time(changes: str, tmp_path: Path) -> None:
    slips = "run #,date,time,60,660\n1,2031-05-14,10:00,1.482,6.21\n2,2031-05-14,11:00,1.490,6.22\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "slips.csv": slips, "changes.csv": changes}))
    assert column(con, "setups", "set_at", "preload_turns") == [
        (dt.datetime(2031, 5, 14, 10), 3.0), (dt.datetime(2031, 5, 14, 11), 3.5),
    ]  # fmt: skip


def test_columns_of_ticks_are_an_outcome_and_a_lane(tmp_path: Path) -> None:
    sheet = (
        "date,left lane,right lane,60,660,good,spun\n2031-05-14,x,,1.482,6.21,x,\n2031-05-14,,x,1.6,6.3,,x\n"
    )
    con, _ = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "lane", "outcome") == [("left", "clean"), ("right", "spun")]


@pytest.mark.parametrize(
    "sheet",
    [
        "Date,Item,Qty,Cost\n5/14/2031,Tires,2,410.00\n5/15/2031,Race gas,5,61.50\n",
        "Name,Phone\nLenka,555 0101\nIvo,555 0102\n",
    ],
)
def test_a_sheet_about_something_else_is_left_alone(tmp_path: Path, sheet: str) -> None:
    _, report = slips_of(tmp_path, sheet, "other.csv")
    assert {each.kind for each in report.sheets if each.file == "other.csv"} == {"unrecognised"}


def test_two_cars_side_by_side_are_two_cars(tmp_path: Path) -> None:
    sheet = """,,Marigold,,,,Teal,,,
Date,Time,RT,60,660,MPH,RT,60,660,MPH
5/14/2031,10:00,.081,1.482,6.210,112.3,.101,1.382,5.910,118.3
5/14/2031,11:00,.052,1.490,6.222,112.1,.099,1.390,5.922,118.1
"""
    con, _ = slips_of(tmp_path, sheet)
    runs = con.sql("select car, t60_s, t660_s, v660_mph from timeslips order by car, t60_s").fetchall()
    assert runs == [
        ("Marigold", 1.482, 6.21, 112.3),
        ("Marigold", 1.49, 6.222, 112.1),
        ("Teal", 1.382, 5.91, 118.3),
        ("Teal", 1.39, 5.922, 118.1),
    ]


def test_the_other_lane_is_left_out_and_said(tmp_path: Path) -> None:
    sheet = """Date,Time,my 60,my 660,my MPH,opp 60,opp 660,opp MPH
5/14/2031,10:00,1.482,6.210,112.3,1.382,5.910,118.3
5/14/2031,11:00,1.490,6.222,112.1,1.390,5.922,118.1
"""
    con, report = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph") == RUNS
    assert [heading for _, _, heading in report.unused] == ["opp 60", "opp 660", "opp MPH"]


def test_lines_between_the_runs_tell_the_clutch(tmp_path: Path) -> None:
    sheet = """Date,Lane,60,660,MPH
Clutch now 3 turns and 4 grams on each lever,,,,
5/14/2031,L,1.482,6.210,112.3
5/14/2031,R,1.490,6.222,112.1
Clutch now 2 3/4 turns,,,,
5/14/2031,R,1.470,6.202,112.4
"""
    con, report = slips_of(tmp_path, sheet)
    build_runs(con)
    runs = con.sql("select t60_s, preload_turns, counterweight_g from runs order by run_id").fetchall()
    assert runs == [(1.482, 3.0, 4.0), (1.49, 3.0, 4.0), (1.47, 2.75, 4.0)]
    assert report.open_questions == 0


def test_a_long_sheet_is_known_by_a_sample(tmp_path: Path) -> None:
    runs = ((f"5/{1 + at // 300}/2031", f"{10 + at % 300 // 60}:{at % 60:02}", at) for at in range(6200))
    rows = "".join(f"{day},{time},1.{400 + at % 90},6.{200 + at % 80},5600,95\n" for day, time, at in runs)
    con, report = slips_of(tmp_path, "Day,Clock,ET60,E.T. 1/8,Lau RPM,Surface\n" + rows)
    assert report.unused == ()
    first = con.sql("select t60_s, t660_s, launch_rpm, track_temp_degf from timeslips limit 1").fetchall()[0]
    assert first == (1.4, 6.2, 5600.0, 95.0)


def test_files_that_hold_nothing_are_named(tmp_path: Path) -> None:
    empty = {
        "empty.csv": b"",
        "lines.csv": b"\n\n",
        "mark.csv": b"\xef\xbb\xbf",
        ".slips.csv": b"a",
        "a.txt": b"a",
    }
    _, report = ingested(write(tmp_path, empty))
    for name in empty:
        assert any(problem.startswith(name) for problem in report.problems), name


def test_runs_of_unlisted_cars_in_a_lane_are_counted_and_named(tmp_path: Path) -> None:
    sheet = """Date,Time,L car,L 60,L 660,L MPH,R car,R 60,R 660,R MPH
5/14/2031,10:00,Marigold,1.482,6.210,112.3,Teal,1.382,5.910,118.3
5/14/2031,11:00,Teal,1.390,5.922,118.1,Marigold,1.490,6.222,112.1
5/14/2031,12:00,Teal,1.391,5.923,118.2,Marigold,1.481,6.212,112.2
"""
    con, report = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "t60_s") == [1.482, 1.49, 1.481]
    assert any("2 runs of the left lane are left out" in told and "Teal" in told for told in report.problems)
    assert any("1 run of the right lane is left out" in told for told in report.problems)
    total = report.total
    assert total.read == total.kept + total.questioned + total.rejected + total.set_aside


def test_remarks_in_a_column_without_a_heading(tmp_path):
    con, _ = slips_of(
        tmp_path, "when,short,et,speed,\n2031-05-14,1.482,9.90,136,went red\n,1.490,9.91,135,\n"
    )
    assert column(con, "timeslips", "notes") == ["went red", None]


def test_a_folder_names_the_day(tmp_path):
    name = "05-14-2031 Cinder Flats - Spring Opener/slips.csv"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, name: "clock,60ft,1/8\n10:10,1.482,6.210\n"}))
    assert column(con, "timeslips", "run_at") == [dt.datetime(2031, 5, 14, 10, 10)]
    assert column(con, "timeslips", "venue") == ["Cinder Flats"]


LEGENDS = {
    "key.csv": """code,what it holds
A1,date of the pass
A2,local time on the clock
A3,"time to the 60 ft mark, seconds"
A4,"time to the 1/8 mile, seconds"
A5,"speed at 201 m, in km/h"
A6,how it went
V,spun the tires
W,clean
""",
    "key.txt": """A1 = date
A2 = time of day
A3 = 60 ft
A4 = 1/8 mile ET
A5 = 660 ft speed, km/h
A6 = result (V = spun, W = clean)
""",
}


@pytest.mark.parametrize("legend", LEGENDS)
def test_short_words_are_read_by_the_key_beside_them(tmp_path: Path, legend: str) -> None:
    slips = """A1,A2,A3,A4,A5,A6
2031-05-14,10:00,1.482,6.21,180.72933,W
2031-05-14,11:00,1.490,6.222,180.40746,V
"""
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.csv": slips, legend: LEGENDS[legend]}))
    assert column(con, "timeslips", "run_at", "t60_s", "t660_s") == [run[:3] for run in RUNS]
    assert column(con, "timeslips", "v660_mph") == pytest.approx([run[3] for run in RUNS], abs=1e-3)
    assert column(con, "timeslips", "outcome") == ["clean", "spun"]


def test_a_day_of_two_runs_below_its_particulars_is_a_table(tmp_path: Path) -> None:
    sheet = "Track:,Cinder Flats\nDate:,5/14/2031\nEvent:,Opener\nCar:,Marigold\n\n"
    sheet += "Clock,Lane,60,660,660 mph\n10:00,left,1.482,6.21,112.3\n11:00,right,1.490,6.222,112.1\n"
    con, _ = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph") == RUNS


def test_runs_written_as_more_or_less_than_the_first_of_the_day(tmp_path: Path) -> None:
    sheet = """kind,date,time,60,660,660 mph
MARK,2031-05-14,10:00,1.482,6.210,112.3
run,2031-05-14,11:00,+.008,+0.012,-.2
MARK,2031-05-15,10:00,1.470,6.200,112.0
run,2031-05-15,10:20,-.010,0,-.2
run,2031-05-15,10:40,0,-.020,+.1
run,2031-05-15,11:00,+.010,+.001,+.3
run,2031-05-15,11:20,-.010,+.003,+.1
"""
    con, _ = slips_of(tmp_path, sheet)
    found = column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph")
    assert [run[0] for run in found[:2]] == [run[0] for run in RUNS]
    assert [run[1:] for run in found[:2]] == [pytest.approx(run[1:]) for run in RUNS]
    assert [run[1:] for run in found[3:]] == [
        pytest.approx((1.46, 6.2, 111.8)),
        pytest.approx((1.47, 6.18, 112.1)),
        pytest.approx((1.48, 6.201, 112.3)),
        pytest.approx((1.46, 6.203, 112.1)),
    ]


def test_sheets_that_point_to_each_other_are_read_together(tmp_path: Path) -> None:
    sheets = {
        "garage.toml": GARAGE,
        "slips.csv": "run id,60 ft,660 ft,660 mph\n7,1.482,6.21,112.3\n8,1.490,6.222,112.1\n",
        "runs.csv": "run id,session id,time,setup\n7,S1,10:00,A\n8,S1,11:00,B\n",
        "sessions.csv": "session id,date,strip,event\nS1,2031-05-14,Cinder Flats,Opener\n"
        "S2,2031-05-21,Cinder Flats,Closer\n",
        "setups.csv": "setup,preload turns,launch rpm\nA,3,5600\nB,3.5,5700\n",
    }
    con, report = ingested(write(tmp_path, sheets))
    assert column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph") == RUNS
    assert column(con, "timeslips", "venue", "event") == [("Cinder Flats", "Opener")] * 2
    assert column(con, "timeslips", "preload_turns", "launch_rpm") == [(3.0, 5600.0), (3.5, 5700.0)]
    assert not [each for each in report.problems if "count for nothing" in each]


def test_notes_that_name_each_time_between_slashes_are_no_chain(tmp_path: Path) -> None:
    notes = "May 14, 2031 Cinder Flats, Opener\n"
    notes += "10:00am left lane / react .008 / 60' 1.482 / 330ft 4.05 / 1/8 6.210 @ 112.3 / 1000ft 8.05\n"
    notes += "11:00am left lane / react .023 / 60' 1.490 / 330ft 4.06 / 1/8 6.222 @ 112.1 / 1000 8.06 spun\n"
    notes += "11:30am left lane / react .023 / 60' 1.491 / 330ft 4.07 / 1/8 6.223 @ 112.0 / 1000 8.07\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "notes.txt": notes}))
    found = column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph")
    assert found[:2] == RUNS
    assert column(con, "timeslips", "t1000_s") == [8.05, 8.06, 8.07]


def test_a_form_of_columns_with_the_weather_between_is_read(tmp_path: Path) -> None:
    form = """Cinder Flats, Wednesday, May 14 2031, Opener
Weather 8:54 a.m.: 54 F, 69% hum, baro 29.52, wind N 9
Weather 12:21 p.m.: 64 F, 54% hum, baro 29.49, wind NW 6

      TIME  LANE  REACT  SIXTY FOOT  EIGHTH ET  EIGHTH SPEED  COMMENT
10:00 a.m.  Rgt   0.018  1.482       6.210      112.3         clean, straight
11:00 a.m.  Lft   0.119  1.490       6.222      112.1         missed 3rd
 1:04 p.m.  Lft   0.155  1.403       6.249      109.7         good clean run
"""
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "races.txt": form}))
    assert column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph")[:2] == RUNS
    assert column(con, "weather", "read_at", "air_temp_degf", "pressure_inhg") == [
        (dt.datetime(2031, 5, 14, 8, 54), 54.0, 29.52),
        (dt.datetime(2031, 5, 14, 12, 21), 64.0, 29.49),
    ]


def test_paper_slips_typed_label_by_label_are_read(tmp_path: Path) -> None:
    slip = """Cinder Flats Dragway
Clutch Classic
05/14/2031   {time}
LANE LEFT
R/T           .0{rt}
60'           {t60}
1/8           {t660}
MPH           {mph}
1/4           {t1320}
MPH           134.58
Note: Clean run
Setup: launch 5600, preload 2 1/4 turns, weights 5.6 g each arm

------------------------------
"""
    slips = [
        slip.format(time="10:00:00 AM", rt="15", t60="1.482", t660="6.210", mph="112.3", t1320="9.702"),
        slip.format(time="11:00:00 AM", rt="27", t60="1.490", t660="6.222", mph="112.1", t1320="9.713"),
        slip.format(time="11:30:00 AM", rt="27", t60="1.491", t660="6.223", mph="112.0", t1320="9.714"),
    ]
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "slips.txt": "\n".join(slips)}))
    assert column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph")[:2] == RUNS
    assert column(con, "timeslips", "reaction_s", "v1320_mph")[:2] == [(0.015, 134.58), (0.027, 134.58)]
    assert column(con, "timeslips", "venue")[0] == "Cinder Flats"
    assert column(con, "timeslips", "preload_turns", "launch_rpm")[0] == (2.25, 5600.0)


def test_a_run_that_goes_on_below_its_moment_and_lane_is_one(tmp_path: Path) -> None:
    notes = """Opener - Cinder Flats
Wed May 14, 2031
setup: preload 5.5 turns, counterweight 6.0g per arm, launch 6000 rpm
T1 10:00am left lane
rt .253  60 ft 1.482  330 3.973
1/8 6.210 @ 112.3  1000 ft 8.031

Q1 11:00am right lane
rt .106  60 ft 1.490  330 3.945
1/8 6.222 @ 112.1
clean!!

E1 11:30am right lane
rt .106  60 ft 1.491  330 3.946
1/8 6.223 @ 112.0
"""
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "notes.txt": notes}))
    assert column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph")[:2] == RUNS
    assert column(con, "timeslips", "lane", "round")[:2] == [("left", "T1"), ("right", "Q1")]


def test_a_reaction_with_a_slash_begins_no_chain(tmp_path: Path) -> None:
    notes = "May 14, 2031 Cinder Flats, Opener\n"
    for clock, t60, t660, mph in (("10:00 AM", 1.482, 6.21, 112.3), ("11:00 AM", 1.49, 6.222, 112.1)):
        notes += f"{clock} Rgt lane, r/t .074, 60' {t60}, 330' 3.950, 8th {t660} at {mph}, 1000 8.181\n"
    notes += "11:30 AM Rgt lane, r/t .203, 60' 1.419, 330' 3.966, 8th 6.248 at 109.7, 1000 8.214\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "notes.txt": notes}))
    assert column(con, "timeslips", "run_at", "t60_s", "t660_s", "v660_mph")[:2] == RUNS
    assert column(con, "timeslips", "reaction_s") == [0.074, 0.074, 0.203]
