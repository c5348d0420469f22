"""Sheets made for something else and bent to the purpose: ledgers, job sheets, cards, a week's diary."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.ingest.logbooks import column, ingested, write

GARAGE = (
    '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n\n'
    '[[venue]]\nname = "Cinder Flats"\nelevation_ft = 200\n'
)


def _read(folder: Path, **sheets: str) -> Any:
    named = {name.replace("_", ".", 1): text for name, text in sheets.items()}
    con, report = ingested(write(folder, {"garage.toml": GARAGE, **named}))
    assert report.open_questions == 0, column(con, "questions", "value", "problem")
    return con


def _times(con: Any) -> list[float]:
    return [t60 for _, t60 in sorted(column(con, "timeslips", "run_at", "t60_s"))]


PAIRS_ABOVE = (
    "Event,Season Opener,,,,\nPlace,Quarry Road Dragway,,,,\nDate,14.05.2031 + 15.05.2031,,,,\n"
    "air on the last page,,,,,\n,,,,,\nRun,Day,Time,60,660,660 mph\n"
) + "".join(f"{n},Wed 14.05.,1{n}:05,1.4{n}1,6.1{n}1,112.{n}\n" for n in range(1, 5))
LEDGER = (
    "date,entry,account,time,remarks,rt,60,660,mph\n"
    "14.05.2031,1,604,,entry for the opener at Cinder Flats,,,,\n"
    + "".join(f"14.05.2031,{n + 1},601,1{n}:05,run,.0{n}1,1.4{n}1,6.1{n}1,112.{n}\n" for n in range(1, 5))
    + ",,,,Sub-total of the day: 4 runs,,1.441,,\n15.05.2031,9,604,,entry for Quarry Road Dragway,,,,\n"
    + "15.05.2031,10,601,11:05,run,.044,1.444,6.144,112.4\n"
)
JOBS = (
    "Job No,Date,Customer,Out,Wait,Drop 1,Drop 3,Load A,remarks\n"
    "run,,strip,time,reaction,60 ft,1/8 mile,revs,\n"
    + "".join(f"{n},14.05.2031,Cinder Flats,1{n}:05,.0{n}1,1.4{n}1,6.1{n}1,6000,\n" for n in range(1, 5))
    + ",,,,Week avg,1.4213,,,\n"
)
DAYS = "date,strip,drag 1 start,60,1/8,mph,note,drag 2 start,60,1/8,mph,note\n" + "".join(
    f"{day}.5.2031,Cinder Flats,10:05,1.4{day},6.1{day},112.{day},,11:05,1.5{day},6.2{day},111.{day},spun\n"
    for day in (14, 15, 16)
)
WORDS = (
    "Cinder Flats,Opener,\nRUN lines are,time,lane,react,60,660,mph,remarks\nair and track in C\n"
    "DAY,Wednesday 14 May 2031\n"
    "WX,09:23,air 28.4,track 36,hPa 1001.9,hum 36\nSET,rpm 6700,turns 3,weight 2.9\n"
) + "".join(
    f"RUN,1{n}:05,left,.0{n}1,1.4{n}1,6.1{n}1,112.{n},ok\n"
    + f"WX,1{n}:55,air 3{n}.4,track 4{n},hPa 1002.1,hum 3{n}\n" * (n == 3)
    for n in range(1, 6)
)


@pytest.mark.parametrize("sheet", [PAIRS_ABOVE, LEDGER, JOBS, WORDS])
def test_every_run_is_read_and_nothing_asked(sheet: str, tmp_path: Path) -> None:
    con = _read(tmp_path, log_csv=sheet)
    assert _times(con)[:4] == [1.411, 1.421, 1.431, 1.441]
    assert set(column(con, "timeslips", "venue")) <= {"Quarry Road Dragway", "Cinder Flats"}


def test_a_word_that_counts_up_parts_the_runs_of_a_row(tmp_path: Path) -> None:
    con = _read(tmp_path, log_csv=DAYS)
    assert _times(con) == [1.414, 1.514, 1.415, 1.515, 1.416, 1.516]


def test_two_labels_a_line_on_cards_side_by_side(tmp_path: Path) -> None:
    def card(n: int) -> list[str]:
        return [
            f"CARD {n},,,", f"Date,05-14-31,Time,1{n}:05", "Track,Cinder Flats,Lane,R",
            f"60,1.4{n}1,330,4.0{n}1", f"1/8,6.1{n}1,mph,112.{n}", f"1/4,9.6{n}1,mph,139.{n}",
            "RPM,6100,Turns,3.25", "Air F,74,Trk F,88",
        ]  # fmt: skip

    lines = [f"{one},,{other}" for n in (1, 3, 5) for one, other in zip(card(n), card(n + 1), strict=True)]
    con = _read(tmp_path, log_csv="\n".join(lines) + "\n")
    assert _times(con) == [1.411, 1.421, 1.431, 1.441, 1.451, 1.461]
    assert column(con, "timeslips", "v660_mph", "v1320_mph")[0] == (112.1, 139.1)


def test_figures_are_explained_for_the_heading_above_them(tmp_path: Path) -> None:
    runs = "Run,Day #,Time,Lane (1=L 2=R),60,660,Result\n" + "".join(
        f"M{n},{1 + n // 3},1{n}:05,{1 + n % 2},1.4{n}1,6.1{n}1,{1 + n % 2}\n" for n in range(1, 6)
    )
    days = (
        "Day #,Date,Track\n1,2031-05-14,Cinder Flats\n2,2031-05-15,Cinder Flats\n3,2031-05-16,Cinder Flats\n"
    )
    codes = "Result,Meaning\n1,Clean pass\n2,Spun tires\n3,Bogged\n4,Missed shift\n"
    con = _read(tmp_path, runs_csv=runs, days_csv=days, codes_csv=codes)
    assert _times(con) == [1.411, 1.421, 1.431, 1.441, 1.451]
    assert set(column(con, "timeslips", "outcome")) == {"clean", "spun"}


def test_air_and_track_with_a_slash_are_no_days(tmp_path: Path) -> None:
    sheet = "date,time,60,660,Air/track C,note\n" + "".join(
        f"14.5.2031,1{n}:05,1.4{n}1,6.1{n}1,1{n}/2{n},fine\n" for n in range(1, 6)
    )
    con = _read(tmp_path, log_csv=sheet)
    assert column(con, "timeslips", "track_temp_degf")[0] == pytest.approx(21 * 1.8 + 32)


def test_a_slip_with_speeds_in_brackets_and_a_day_behind_a_word(tmp_path: Path) -> None:
    sheet = (
        "Når|Hvor|Lys|Tider 60 - 330 - 660 (km/t) - 1320 (km/t)|Vær: luft° / bane° / hPa her / fukt%\n"
        + "".join(
            f"14.5.2031 kl 1{n}.05|Cinder Flats|0,0{n}1|1,4{n} - 3,9{n} - 6,1{n} (18{n}) - 9,5{n} (23{n})|"
            f"18° / 22° / 1005 / 5{n}%\n"
            for n in range(1, 6)
        )
    )
    con = _read(tmp_path, log_csv=sheet)
    assert _times(con) == [1.41, 1.42, 1.43, 1.44, 1.45]
    assert column(con, "weather", "humidity_pct")[0] == 51


def test_numbered_lines_and_rpm_in_thousands_of_one_of_two_people(tmp_path: Path) -> None:
    text = "Copybook\n\nWed 14 May 2031 - Cinder Flats\n" + "".join(
        f"{n}. 1{n}.05  R  (.0{n}1)  1.4{n}  4.0{n}  6.1{n}@112.{n}  ok\n" for n in range(1, 7)
    )
    assert _times(_read(tmp_path / "one", log_txt=text)) == [1.41, 1.42, 1.43, 1.44, 1.45, 1.46]
    sheet = "date,time,60,660,rpm\n" + "".join(
        f"14.5.2031,1{n}:05,1.4{n}1,6.1{n}1,{'6.5' if n % 2 else 6500}\n" for n in range(1, 8)
    )
    con = _read(tmp_path / "two", log_csv=sheet)
    assert set(column(con, "timeslips", "launch_rpm")) == {6500}


def test_labels_beside_a_day_tell_its_air(tmp_path: Path) -> None:
    sheet = (
        "CINDER FLATS,,,elev. 200 ft,,,,,,,\n5-14-31,opener,,air,81,track,105,barom.,29.57,hum.,53\n"
        "Run,Clock,Ln,R.T.,60 ft.,1/8 E.T.,1/8 MPH,,,,\n"
    ) + "".join(f"{n},1{n}:05,R,.0{n}1,1.4{n}1,6.1{n}1,112.{n},,,,\n" for n in range(1, 6))
    con = _read(tmp_path, log_csv=sheet)
    assert _times(con) == [1.411, 1.421, 1.431, 1.441, 1.451]
    assert column(con, "weather", "air_temp_degf", "humidity_pct") == [(81, 53)]
    assert column(con, "track", "track_temp_degf") == [105]
