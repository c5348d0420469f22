"""Sheets as people type them, all the way to clean tables with every row accounted for."""

import datetime as dt
from pathlib import Path

import pytest

from pipeline.store.database import query
from tests.ingest.logbooks import GARAGE, HEADING, column, ingested, slips_of, write

DEGREE = 1e-9  # conversions are exact up to rounding


def test_own_headings_units_and_spellings(tmp_path: Path) -> None:
    sheet = (
        "My season,,,,,,\n"
        "Date,Time of day,Vehicle,Strip,60',1/8 mph,Track temp (C),Launch,Crew\n"
        '5/14/2031,10:07 am,the YELLOW car,cinder,1.482,112.3,35,"6,200",Bo\n'
        "5/15/2031,1:30 pm,marigold,Cinder Flats,1.490,112.1,95F,6200 rpm,Bo\n"
    )
    con, report = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "car", "venue") == [("Marigold", "Cinder Flats")] * 2
    assert column(con, "timeslips", "run_at") == [
        dt.datetime(2031, 5, 14, 10, 7),
        dt.datetime(2031, 5, 15, 13, 30),
    ]
    assert column(con, "timeslips", "t60_s", "v660_mph") == [(1.482, 112.3), (1.490, 112.1)]
    assert column(con, "timeslips", "track_temp_degf") == pytest.approx([95.0, 95.0], abs=DEGREE)
    assert column(con, "timeslips", "launch_rpm") == [6200.0, 6200.0]
    assert ("slips.csv", "", "Crew") in report.unused


@pytest.mark.parametrize(
    ("heading", "typed", "expected"),
    [
        ("baro (hPa)", "970.5", 28.6588487936),
        ("baro, kPa", "97.05", 28.6588487936),
        ("pressure mmHg", "727.9346", 28.658848),
        ("barometer", "970.5 mbar", 28.6588487936),
        ("BAROMETER [inHg]", "28.66", 28.66),
    ],
)
def test_pressure_in_any_unit(tmp_path: Path, heading: str, typed: str, expected: float) -> None:
    con, _ = slips_of(tmp_path, f'date;time;"{heading}";temp\n2031-05-14;10:00;{typed};70\n', "weather.csv")
    assert column(con, "typed_weather", "pressure_inhg") == pytest.approx([expected], rel=1e-6)


def test_a_unit_row_below_the_headings(tmp_path: Path) -> None:
    con, report = slips_of(
        tmp_path, "date,time,air temp,pressure\n,,(C),(kPa)\n2031-05-14,10:00,20,97.05\n", "w.csv"
    )
    assert column(con, "typed_weather", "air_temp_degf") == pytest.approx([68.0], abs=DEGREE)
    assert report.total.set_aside == 2


def test_headings_merged_over_two_rows(tmp_path: Path) -> None:
    sheet = "date,time,1/8,,1/4,\n,,et,mph,et,mph\n2031-05-14,10:00,6.21,112.3,9.72,139.5\n"
    con, _ = slips_of(tmp_path, sheet)
    assert column(con, "typed_timeslips", "t660_s", "v660_mph", "t1320_s", "v1320_mph") == [
        (6.21, 112.3, 9.72, 139.5)
    ]


def test_setups_with_each_screw_hardware_and_an_extra(tmp_path: Path) -> None:
    sheet = (
        "date,turns,arm weight,shock\n"
        "2031-05-01,3 3 3.5 3,2 steel nuts + 1 steel bolt,4\n"
        "2031-05-15,3 1/2,0.25 oz,\n"
    )
    con, _ = slips_of(tmp_path, sheet, "setups.csv")
    rows = column(con, "typed_setups", "preload_turns", "preload_screws", "counterweight_g", "extras")
    assert rows[0][0] == pytest.approx(12.5 / 4)
    assert rows[0][1] == [3, 3, 3.5, 3]
    assert rows[0][2] == pytest.approx(15.1)
    assert rows[0][3] == {"shock_clicks": 4.0}
    assert rows[1][0] == 3.5
    assert rows[1][2] == pytest.approx(7.08738078125)


def test_ring_heights_one_by_one(tmp_path: Path) -> None:
    sheet = "date,ring height 1,ring height 2,ring height 3,shim\n2031-05-20,2.16,2.161,2.162,5 thou\n"
    con, _ = slips_of(tmp_path, sheet, "checks.csv")
    ((mean, each, shim),) = column(
        con, "typed_checks", "ring_height_in", "ring_heights_in", "shim_removed_in"
    )
    assert (mean, each) == (pytest.approx(2.161), [2.16, 2.161, 2.162])
    assert shim == pytest.approx(0.005)


@pytest.mark.parametrize("screws", [3, 6, 12, 24])
def test_a_clutch_has_as_many_columns_as_screws(tmp_path: Path, screws: int) -> None:
    spoken = ",".join(f"preload turns {number}" for number in range(1, screws + 2))
    turns = ",".join(str(number / 4) for number in range(1, screws + 2))
    garage = GARAGE.replace("screws = 4", f"screws = {screws}")
    con, report = ingested(
        write(tmp_path, {"garage.toml": garage, "setups.csv": f"date,{spoken}\n2031-05-01,{turns}\n"})
    )
    (each,) = column(con, "typed_setups", "preload_screws")
    assert each == [number / 4 for number in range(1, screws + 1)]
    assert [heading for *_, heading in report.unused] == [f"preload turns {screws + 1}"]


def test_without_a_clutch_any_number_of_stands_is_read(tmp_path: Path) -> None:
    spoken = ",".join(f"ring height #{number}" for number in range(1, 13))
    sheet = f"date,{spoken}\n2031-05-20,{','.join(['49.5'] * 12)}\n".replace("#1,", "#1 (mm),")
    con, _ = ingested(write(tmp_path, {"garage.toml": "", "checks.csv": sheet}))
    (each,) = column(con, "checks", "ring_heights_in")
    assert len(each) == 12
    assert each == pytest.approx([49.5 / 25.4] * 12)


def test_rows_that_are_no_data_are_set_aside(tmp_path: Path) -> None:
    sheet = (
        HEADING
        + "2031-05-14,10:00,1.482,4.05,6.21,good\n"
        + HEADING
        + "\n"
        + ",,,,,\n"
        + "2031-05-15,10:00,1.486,4.06,6.22,\n"
        + "Average,,1.484,4.055,6.215,\n"
    )
    con, report = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "row") == [2, 6]
    assert (report.total.read, report.total.kept, report.total.set_aside) == (7, 2, 5)


def test_lines_are_true_after_notes_over_several_lines(tmp_path: Path) -> None:
    sheet = (
        HEADING + '2031-05-14,10:00,1.482,4.05,6.21,"a, b\nsecond\nthird"\n2031-05-15,10:00,abc,4.06,6.22,\n'
    )
    con, _ = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "row", "notes") == [(2, "a, b\nsecond\nthird"), (5, None)]
    assert column(con, "bad_cells", "row", "column", "value") == [(5, "t60_s", "abc")]


def test_a_quote_mark_for_inches_swallows_nothing(tmp_path: Path) -> None:
    sheet = (
        HEADING + '2031-05-14,10:00,1.482,4.05,6.21,"8 tires\n2031-05-15,10:00,1.486,4.06,6.22,28" tires\n'
    )
    con, report = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "t60_s") == [1.482, 1.486]
    assert report.total.read == 3


@pytest.mark.parametrize(
    ("heading", "name"),
    [
        ("reaction", "reaction_s"), ("60 ft", "t60_s"), ("330 ft", "t330_s"), ("660 ft", "t660_s"),
        ("660 mph", "v660_mph"), ("1000 ft", "t1000_s"), ("1320 ft", "t1320_s"), ("1320 mph", "v1320_mph"),
        ("launch rpm", "launch_rpm"),
    ],
)  # fmt: skip
def test_no_absurd_number_gets_by(tmp_path: Path, heading: str, name: str) -> None:
    absurd = ["nan", "-nan", "inf", "-Infinity", "1e300", "9" * 10, "-" + "9" * 20, "9" * 140, "9" * 400]
    other, plain = ("330 ft", "4.05") if heading == "60 ft" else ("60 ft", "1.482")
    rows = "".join(f"2031-05-14,{8 + at}:00,{number},{plain}\n" for at, number in enumerate(absurd))
    con, report = slips_of(tmp_path, f"date,time,{heading},{other}\n{rows}")
    assert set(column(con, "questions", "row", "column")) == {(2 + at, name) for at in range(len(absurd))}
    assert report.total.questioned + report.total.rejected == len(absurd)


@pytest.mark.parametrize("text", ["nan", "inf", "1e5", "1_000", "abc", "1.2.3"])
def test_what_is_no_plain_number_is_refused_and_asked(tmp_path: Path, text: str) -> None:
    con, report = slips_of(tmp_path, HEADING + f"2031-05-14,10:00,{text},4.05,6.21,\n")
    assert column(con, "timeslips", "t60_s", "questioned") == [(None, ["t60_s"])]
    assert column(con, "questions", "value", "row") == [(text, 2)]
    assert report.total.questioned == 1


@pytest.mark.parametrize("text", ["-", "n/a", "", "?"])
def test_marks_of_nothing_are_nothing(tmp_path: Path, text: str) -> None:
    con, report = slips_of(tmp_path, HEADING + f"2031-05-14,10:00,{text},4.05,6.21,\n")
    assert column(con, "timeslips", "t60_s", "questioned") == [(None, [])]
    assert report.open_questions == 0


def test_decimal_commas_are_read_when_the_sheet_writes_them(tmp_path: Path) -> None:
    sheet = "date;time;60 ft;330 ft;rpm\n14.05.2031;10:00;1,482;4,05;6200\n15.05.2031;10:00;1,486;4,06;6300\n"
    con, report = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "t60_s", "t330_s", "launch_rpm") == [
        (1.482, 4.05, 6200.0),
        (1.486, 4.06, 6300.0),
    ]
    assert report.open_questions == 0


def test_times_of_day_with_a_point_are_no_decimal_points(tmp_path: Path) -> None:
    rows = "2031-05-14;09.21;3,5\n2031-05-14;12.35;\n2031-05-14;15.10;4\n"
    con, _ = ingested(
        write(tmp_path, {"garage.toml": GARAGE, "setups.csv": f"date;time;preload turns\n{rows}"})
    )
    assert column(con, "typed_setups", "preload_turns") == [3.5, 4.0]


def test_a_lone_decimal_comma_is_asked_with_its_reading(tmp_path: Path) -> None:
    rows = "".join(
        f"2031-05-{day},10:00,1.48{day % 10},4.05{day % 7},6.21{day % 5},\n" for day in range(10, 20)
    )
    con, _ = slips_of(tmp_path, HEADING + rows + '2031-05-21,10:00,"1,482",4.052,6.211,\n')
    assert column(con, "bad_cells", "row", "column", "suggestion") == [(12, "t60_s", "1.482")]


def test_several_decimal_commas_are_the_habit_of_a_second_hand(tmp_path: Path) -> None:
    rows = "".join(
        f"2031-05-{day},10:00,1.48{day % 10},4.05{day % 7},6.21{day % 5},\n" for day in range(10, 20)
    )
    second = "".join(f'2031-05-2{n},10:00,"1,48","4,0{n}","6,211",\n' for n in range(3))
    con, _ = slips_of(tmp_path, HEADING + rows + second)
    assert column(con, "bad_cells", "row") == []
    assert column(con, "timeslips", "t60_s", "t660_s")[-1] == (1.48, 6.211)


def test_an_unreadable_date_never_drops_the_row(tmp_path: Path) -> None:
    con, report = slips_of(tmp_path, HEADING + "32/5/2031,10:00,1.482,4.05,6.21,\n,10:30,1.49,4.06,6.22,\n")
    assert column(con, "timeslips", "run_at", "t60_s", "questioned") == [
        (None, 1.482, ["run_at"]),
        (None, 1.49, ["run_at"]),
    ]
    assert report.total.questioned == 2


def test_dates_written_once_are_carried_down(tmp_path: Path) -> None:
    sheet = (
        HEADING
        + "5/14/2031,10:00,1.48,4.05,6.21,\n"
        + "".join(f",1{hour}:00,1.48{hour},4.05,6.2{hour},\n" for hour in range(1, 5))
    )
    con, report = slips_of(tmp_path, sheet)
    assert {run.date() for run in column(con, "timeslips", "run_at")} == {dt.date(2031, 5, 14)}
    assert report.open_questions == 0


def test_runs_without_a_time_keep_their_order(tmp_path: Path) -> None:
    con, _ = slips_of(tmp_path, "date,60 ft,330 ft\n2031-05-14,1.482,4.05\n2031-05-14,1.469,4.03\n")
    runs = column(con, "timeslips", "run_at", "has_time")
    assert runs[0][0] < runs[1][0]
    assert [has_time for _, has_time in runs] == [False, False]


def test_a_row_with_too_many_cells_is_rejected_by_name(tmp_path: Path) -> None:
    con, report = slips_of(tmp_path, "date,time,notes,60 ft\n2031-05-14,10:00,good,1.48,9.7\n")
    assert column(con, "questions", "severity", "row") == [("rejected", 2)]
    assert (report.total.rejected, report.total.kept) == (1, 0)


def test_more_notes_past_the_last_heading_are_notes(tmp_path: Path) -> None:
    con, report = slips_of(tmp_path, HEADING + "2031-05-14,10:00,1.482,4.05,6.21,spun, hard\n")
    assert column(con, "questions", "column") == []
    assert column(con, "timeslips", "notes", "outcome") == [("spun; hard", "spun")]
    assert report.total.kept == 1


def test_outcomes_in_the_persons_words(tmp_path: Path) -> None:
    sheet = (
        "date,time,60 ft,result,notes\n"
        "2031-05-14,10:00,1.48,spun the tires,\n"
        "2031-05-14,11:00,1.49,,missed 2nd\n"
        "2031-05-14,12:00,1.47,lifted at the 1000,\n"
        "2031-05-14,13:00,1.50,wobbled,\n"
    )
    con, _ = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "outcome", "lifted_after_ft") == [
        ("spun", None),
        ("missed shift", None),
        ("lifted", 1000),
        (None, None),
    ]
    assert column(con, "bad_cells", "column", "value") == [("outcome", "wobbled")]


def test_a_name_close_to_a_known_one_is_asked(tmp_path: Path) -> None:
    con, _ = slips_of(tmp_path, "date,time,venue,60 ft\n2031-05-14,10:00,Cindr Flats,1.48\n")
    assert column(con, "questions", "column", "suggestion") == [("venue", "Cinder Flats")]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252", "latin-1"])
def test_encodings_in_common_use(tmp_path: Path, encoding: str) -> None:
    sheet = (HEADING.replace("60 ft", "60 ft (°)") + "2031-05-14,10:00,1.482,4.05,6.21,trübe\n").encode(
        encoding
    )
    con, _ = slips_of(tmp_path, sheet)
    assert column(con, "timeslips", "notes") == ["trübe"]


def test_every_sheet_accounts_for_its_rows(tmp_path: Path) -> None:
    _, report = slips_of(tmp_path, HEADING + "2031-05-14,10:00,nan,4.05,6.21,\n,,,,,\nx,y\n")
    for sheet in report.sheets:
        assert sheet.read == sheet.kept + sheet.questioned + sheet.rejected + sheet.set_aside
    assert report.total.read == 4


def test_an_unrecognised_sheet_is_counted_and_named(tmp_path: Path) -> None:
    _, report = slips_of(tmp_path, "apples,pears\n1,2\n", "fruit.csv")
    assert report.total.set_aside == 2
    assert "fruit.csv" in report.problems[0]
    assert "apples" in report.problems[0]


def test_ingesting_again_changes_nothing(tmp_path: Path) -> None:
    con, first = slips_of(tmp_path, HEADING + "2031-05-14,10:00,1.482,4.05,6.21,\n")
    _, second = ingested(tmp_path, con)
    assert first == second
    assert con.execute("select count(*) from raw_versions").fetchall()[0] == (1,)


def test_a_logbook_without_garage_or_sheets(tmp_path: Path) -> None:
    con, report = ingested(write(tmp_path, {"readme.txt": "nothing here"}))
    assert report.total.read == 0
    assert column(con, "timeslips", "slip_id") == []


def test_the_reports_folder_and_temporary_files_are_skipped(tmp_path: Path) -> None:
    good = HEADING + "2031-05-14,10:00,1.482,4.05,6.21,\n"
    write(
        tmp_path,
        {"garage.toml": GARAGE, "a.csv": good, "reports/b.csv": good, "~$c.csv": good, ".d.csv": good},
    )
    _, report = ingested(tmp_path)
    assert [(sheet.file, sheet.kind) for sheet in report.sheets] == [
        (".d.csv", "unreadable"), ("a.csv", "timeslips"), ("~$c.csv", "unreadable"),
    ]  # fmt: skip


def test_hundredths_with_a_decimal_comma_are_counted_too(tmp_path: Path) -> None:
    rows = "2031-05-14;10:00;1,482;4,05;10,21;\n2031-05-14;11:00;1,48;4,050;6,2;\n"
    con, _ = slips_of(tmp_path, HEADING.replace(",", ";") + rows)
    assert column(con, "typed_timeslips", "short_splits") == [2 + 4, 1]


def test_why_rows_are_set_aside_is_counted(tmp_path: Path) -> None:
    run = "2031-05-14,10:00,1.482,4.05,6.21,\n"
    con, report = slips_of(tmp_path, HEADING + run + ",,,,,\n" + HEADING + run + "Best,,1.4,,,\n")
    reasons = dict(con.execute(query("clean/set_aside_reasons")).fetchall())
    assert reasons == {"heading": 1, "blank": 1, "heading again": 1, "typed twice": 1, "total": 1}
    assert sum(reasons.values()) == report.total.set_aside
    assert con.execute(query("clean/rows_typed_twice")).fetchall() == [
        ("slips.csv", "", 5, "slips.csv", "", 2)
    ]


def test_a_planned_run_is_set_aside_and_not_asked_about(tmp_path: Path) -> None:
    heading = "date,time,car,60 ft,330 ft,turns,launch rpm,shock,notes\n"
    planned = ",,Marigold,,,3 3 3 3,5600,4,try this\n"
    made = "2031-05-14,10:00,Marigold,1.482,4.05,3,5600,4,\n"
    undated = ",,Marigold,1.490,4.06,3,5600,4,\n"
    con, _ = slips_of(tmp_path, heading + planned + made + undated)
    assert column(con, "rows_timeslips", "set_aside") == ["heading", "planned, not run yet", None, None]
    assert column(con, "questions", "row", "column") == [(4, "date")]


def test_a_time_with_letters_for_digits_is_asked_with_what_was_meant(tmp_path: Path) -> None:
    sheet = "date,time,60,660\n2031-05-14,l5:5O,1.482,6.21\n2031-05-14,1l:07 pm,1.490,6.22\n"
    sheet += "2031-05-14,late,1.485,6.2\n"
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "slips.csv": sheet}))
    asked = con.execute("select value, suggestion from questions where \"column\" = 'time'").fetchall()
    assert dict(asked) == {"l5:5O": "15:50", "1l:07 pm": "23:07", "late": None}
