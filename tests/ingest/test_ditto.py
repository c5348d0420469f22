"""Ditto marks: what holds is taken over from above, a number measured each time is asked about."""

from pathlib import Path

import pytest

from pipeline.ingest import sheets
from tests.ingest.logbooks import GARAGE, column, ingested, slips_of, write

HEADING = "date,time,car,venue,event,60 ft,330 ft,launch rpm,notes\n"
FIRST = "5/14/2025,2:00 pm,Marigold,Cinder Flats,Opener,1.482,3.952,5600,\n"


def questions(con: object) -> list[tuple[object, ...]]:
    return con.execute(  # type: ignore[attr-defined]
        'select "row", "column", "value", problem, suggestion from questions order by "row", "column"'
    ).fetchall()


@pytest.mark.parametrize("mark", ["''", '"', '""""', "do.", "Ditto", "〃", "”", '-""-'])
def test_words_and_settings_are_taken_over(tmp_path: Path, mark: str) -> None:
    row = f"{mark},2:30 pm,{mark},{mark},{mark},1.490,3.960,{mark},\n"
    con, _ = slips_of(tmp_path, HEADING + FIRST + "\n" + row.replace('-""-', '"-""-"'))
    found = column(con, "timeslips", "run_at", "car", "venue", "event", "launch_rpm")[-1]
    assert str(found[0]) == "2025-05-14 14:30:00"
    assert found[1:] == ("Marigold", "Cinder Flats", "Opener", 5600.0)
    assert questions(con) == []


@pytest.mark.parametrize("mark", ["''", "do.", "〃"])
def test_another_number_is_asked_about(tmp_path: Path, mark: str) -> None:
    con, _ = slips_of(tmp_path, HEADING + FIRST + f"5/14/2025,2:30 pm,,,,1.490,{mark},5700,\n")
    assert questions(con) == [
        (3, "t330_s", f"{mark} (same as above: 3.952)", "Same as above: 3.952.", "3.952")
    ]


@pytest.mark.parametrize("heading", ["air temp,baro,humidity,track temp", "luft,luftdruck,feuchte,bahn temp"])
def test_the_air_and_the_track_are_taken_over(tmp_path: Path, heading: str) -> None:
    rows = '5/14/2025,2:00 pm,1.482,9.41,71,29.41,55,98\n5/14/2025,2:40 pm,1.490,9.42,"""",do.,\'\',"""'
    con, _ = slips_of(tmp_path, f'date,time,60 ft,1320 ft,{heading}\n{rows}"\n')
    read = column(con, "weather", "air_temp_degf", "pressure_inhg", "humidity_pct")
    assert read == [(71.0, 29.41, 55.0)] * 2
    assert column(con, "timeslips", "track_temp_degf") == [98.0, 98.0]
    assert questions(con) == []


def test_marks_under_marks_point_to_the_entry_above_them_all(tmp_path: Path) -> None:
    rows = FIRST + "'',2:30 pm,'',,,1.49,'','',\n" + "'',3:00 pm,'',,,1.50,'','',\n"
    con, _ = slips_of(tmp_path, HEADING + rows)
    assert [(row, suggestion) for row, *_, suggestion in questions(con)] == [(3, "3.952"), (4, "3.952")]
    assert column(con, "timeslips", "launch_rpm") == [5600.0, 5600.0, 5600.0]


def test_a_setting_under_a_mark_holds_screw_by_screw(tmp_path: Path) -> None:
    setups = "date,car,preload turns\n2025-05-04,Marigold,3 3 3 3\n2025-05-11,Marigold,do.\n"
    con, report = ingested(write(tmp_path, {"garage.toml": GARAGE, "setups.csv": setups}))
    assert column(con, "setups", "preload_screws")[-1] == [3, 3, 3, 3]
    assert report.open_questions == 0


def test_accepting_takes_the_entry_above(tmp_path: Path) -> None:
    con, _ = slips_of(tmp_path, HEADING + FIRST + "'',2:30 pm,'',,,1.49,do.,'',\n")
    ((row, name, value, _, suggestion),) = questions(con)
    assert (row, name, suggestion) == (3, "t330_s", "3.952")
    answers = f"question_id,file,sheet,row,column,value,answer\n,slips.csv,,3,t330_s,{value},accept\n"
    con, report = ingested(write(tmp_path, {"questions.csv": answers}))
    assert column(con, "timeslips", "t330_s")[-1] == 3.952
    assert report.open_questions == 0


def test_a_mark_with_nothing_above_says_so(tmp_path: Path) -> None:
    upper = FIRST.replace("3.952", "").replace("Opener", "''")
    lower = FIRST.replace("3.952", "''").replace("2:00", "3:00")
    con, _ = slips_of(tmp_path, HEADING + upper + lower)
    ((row, name, value, problem, suggestion),) = questions(con)
    assert (row, name, value, suggestion) == (3, "t330_s", "''", None)
    assert problem == "\"''\" says the same as above, where no number stands; write the number itself."
    assert column(con, "timeslips", "event") == [None, "Opener"]


def test_a_quoted_note_that_begins_with_a_comma_is_no_mark(tmp_path: Path) -> None:
    row = '2025-05-14,14:30,Marigold,", Meadow",Opener,1.490,3.960,5600,\n'
    con, _ = slips_of(tmp_path, HEADING + FIRST + row)
    assert column(con, "typed_timeslips", "venue")[-1] == ", Meadow"


def test_a_name_that_is_only_a_mark_is_asked_about_in_a_long_sheet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sheets, "CAREFUL_BYTES", 10)
    con, _ = slips_of(tmp_path, HEADING + FIRST + FIRST.replace("Marigold", "''").replace("2:00", "3:00"))
    ((row, name, value, problem, _),) = questions(con)
    assert (row, name, value, problem) == (3, "car", "''", "\"''\" is a ditto mark; write the name itself.")
