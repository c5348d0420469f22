"""Sheets as strangers keep them, known without a store: what each column of theirs is."""

from functools import cache

import pytest

from pipeline.garage.logbook import Garage
from pipeline.ingest.recognise.drafts import Draft, Reader
from pipeline.ingest.recognise.headed import Names
from pipeline.ingest.recognise.row_dates import in_order
from pipeline.ingest.recognise.spoken import Book, said_by


@cache
def reader() -> Reader:
    return Reader(Garage(), Names(frozenset(), frozenset()))


def drafts_of(sheet: str, mark: str = ",") -> list[Draft]:
    rows = [[cell.strip() for cell in line.split(mark)] for line in sheet.splitlines()]
    width = max(map(len, rows))
    return reader().drafts("a.csv", [(at, row + [""] * (width - len(row))) for at, row in enumerate(rows, 1)])


def read(sheet: str, mark: str = ",") -> dict[str, str]:
    """Heading -> what it is read as, of a sheet with one table."""
    (draft,) = drafts_of(sheet, mark)
    return {own.candidate.heading.text: own.name for own in draft.choices if own.is_read}


def test_et_and_mph_are_those_of_the_strip_that_was_run() -> None:
    found = read(
        "date,time,RT,60',330',ET,MPH,clicks\n"
        "4/20/31,12:37pm,-0.013,1.387,3.952,6.302,103.22,8\n"
        "4/20/31,1:41pm,0.052,1.384,3.945,6.295,103.17,8\n"
        "4/20/31,2:40pm,0.081,1.391,3.958,6.305,103.11,8\n"
    )
    assert (found["ET"], found["MPH"]) == ("t660_s", "v660_mph")
    assert "clicks" not in found


def test_short_headings_and_units_glued_to_them() -> None:
    found = read(
        "Run,At,Trns,CtrWt,Lnch,Rx,60,330,660,660sp,AirF,RH,StaBaro,mbar\n"
        "TT,11:13 AM,4.50,22.0,5450,.094,1.361,3.866,6.143,106.67,63,54,29.66,1004\n"
        "TT,11:52 AM,4.50,22.0,5750,.133,1.364,3.872,6.149,106.70,64,52,29.65,1004\n"
        "Q1,12:32 PM,4.25,22.0,5650,.114,1.366,3.876,6.156,106.56,65,51,29.65,1005\n"
    )
    assert (found["Rx"], found["CtrWt"], found["Trns"]) == ("reaction_s", "counterweight_g", "preload_turns")
    assert found["StaBaro"] == "pressure_inhg"


def test_a_column_in_another_unit_is_left_alone() -> None:
    found = read(
        "day,turns x4,shocks,station,60ft,330ft\n"
        "4/20/2031,4.50 4.50 4.50 4.50,9 out,29.12 inHg,1.533,4.201\n"
        "4/20/2031,4.50 4.50 4.50 4.50,8 out,29.10 inHg,1.540,4.210\n"
        "4/20/2031,4.25 4.25 4.25 4.25,9 out,29.10 inHg,1.528,4.190\n"
    )
    assert found == {
        "day": "date", "turns x4": "preload_turns", "station": "pressure_inhg", "60ft": "t60_s",
        "330ft": "t330_s",
    }  # fmt: skip


def test_two_lines_a_run_under_two_lines_of_headings() -> None:
    runs = "".join(
        f"31041{at},1{at}50,Quarry Road,L,8{at},139{at},398{at},635{at},102.{at}\n"
        f",,6{at}00,2.50,27.5,7{at},3{at},29.4{at},nice one\n"
        for at in range(5)
    )
    (draft,) = drafts_of(
        "yymmdd,clock,strip,ln,rt ms,60 ms,330 ms,660 ms,660 mph\n"
        ",,rpm,turns,cw g,air F,rh %,baro in,remark\n" + runs
    )
    assert draft.names() >= {
        "date",
        "time",
        "t60_s",
        "t660_s",
        "launch_rpm",
        "preload_turns",
        "air_temp_degf",
    }
    assert [number for number, _ in draft.part.body] == [3, 5, 7, 9, 11]


def test_notes_with_the_unit_behind_the_number() -> None:
    (draft,) = drafts_of(
        "Quarry Road Sun Apr 6 2031 points 1\n"
        "air 63 track 85 station baro 29.54 hum 33%\n"
        "1120a 7050 rpm 2.00 turns 14g rt 0.04 60 1.344 330 3.840 1/8 6.113 @ 106.9 et 9.828 @ 131 - fine\n"
        "1217p 7250 rpm 2.25 turns 14.0g rt 0.054 60 1.355 330 3.849 1/8 6.118 @ 107.0 et 9.825 @ 131.8\n",
        "|",
    )
    row = dict(zip([own.text for own in draft.part.headings], draft.part.lines[2][1], strict=True))
    read_as = {own.candidate.heading.text: own.name for own in draft.choices}
    found = {read_as[heading]: text for heading, text in row.items() if text}
    assert found == {
        "time": "1120a", "launch_rpm": "7050 rpm", "preload_turns": "2.00 turns", "counterweight_g": "14g",
        "reaction_s": "0.04", "t60_s": "1.344", "t330_s": "3.840", "t660_s": "6.113", "v660_mph": "106.9",
        "t1320_s": "9.828", "v1320_mph": "131", "notes": "fine",
    }  # fmt: skip
    at = draft.column("time") or 0
    assert draft.part.lines[1][1][at] == "1120a"  # the air right before a run is that run's


def test_a_slip_in_one_cell_with_dashes_for_what_is_missing() -> None:
    found = read(
        "when\twhere\tslip 60/330/660@mph\tturns cw rpm\n"
        "4/23/31 11:17\tQuarry Road\t1.375/3.912/6.230@104.7\t4.50t 18.5g 7050\n"
        "4/23/31 12:17\tQuarry Road\t1.372/3.930/-@-\t4.50t 18.5g 6750\n"
        "4/23/31 13:17\tQuarry Road\t1.379/3.952/6.386@100.9\t4.25t 18.5g 6800\n",
        "\t",
    )
    assert {"t60_s", "t330_s", "t660_s", "v660_mph", "preload_turns", "launch_rpm"} <= set(found.values())


def test_what_stands_behind_both_lanes_is_of_both() -> None:
    left, right = drafts_of(
        ",,LEFT,,,,RIGHT,,,,,\n"
        "date,time,car,60,330,660,car,60,330,660,air,track temp\n"
        "4/20/31,13:57,Plum,1.364,3.884,6.187,Teal,1.339,3.825,6.118,80,109\n"
        "4/20/31,14:57,Plum,1.366,3.888,6.190,Teal,1.341,3.830,6.120,81,111\n"
    )
    assert "track_temp_degf" in left.names() & right.names()


@pytest.mark.parametrize(
    ("line", "venue", "event"),
    [
        ("Quarry Road Sun Apr 6 2031 points 1", "Quarry Road", "points 1"),
        ("=== Fri Apr 16 2031, Tansy Valley, Points 2 ===", "Tansy Valley", "Points 2"),
        ("Summer Bash at Corncrake Valley", "Corncrake Valley", "Summer Bash"),
    ],
)
def test_strip_and_meet_in_a_line_of_words(line: str, venue: str, event: str) -> None:
    said = said_by(line, Book())
    assert (said.venue, said.event) == (venue, event)


def test_a_title_names_the_only_car() -> None:
    assert said_by("Grey Heron - run log 2031. Pressure is off the barometer", Book()).rest == "Grey Heron"


def test_a_remark_behind_a_time_goes_to_the_notes() -> None:
    (draft,) = drafts_of(
        "date,60ft,330ft,why\n"
        "4/20/2031,1.533 spun hard,4.201,\n"
        "4/20/2031,1.440,4.001,clean\n"
        "4/20/2031,1.438,3.998,\n"
    )
    assert [cells[1:] for _, cells in draft.part.body] == [
        ["1.533", "4.201", "spun hard"], ["1.440", "4.001", "clean"], ["1.438", "3.998", ""],
    ]  # fmt: skip


def test_an_odd_piece_in_a_cell_of_several_stays_in_its_place() -> None:
    (draft,) = drafts_of(
        "when\twhere\tslip 60/330/660@mph\tturns cw rpm\n"
        + 4 * "4/23/31\tQuarry Road\t1.375/3.912/6.230@104.7\t4.50t 18.5g 7050\n"
        + "4/23/31\tQuarry Road\t1.379/3..952/6.386@100.9\t4.25t 18.5g 680\n"
        "4/23/31\tQuarry Road\t1 371/3.905/6.221@104.9\t4.25t 18.5 6900\n",
        "\t",
    )
    assert [cells[2:] for _, cells in draft.part.body[4:]] == [
        ["1.379", "3..952", "6.386", "100.9", "4.25t", "18.5g", "680"],
        ["1 371", "3.905", "6.221", "104.9", "4.25t", "18.5", "6900"],
    ]


def test_order_of_day_and_month_from_dates_in_words_beside() -> None:
    settled = in_order(["Sun Apr 27 2031", "5/10/2031", "Sat Jun 7 2031"], "")
    assert settled == {"5/10/2031": "2031-05-10"}


def test_the_lanes_of_runs_that_stand_across_are_no_headings() -> None:
    def line(label: str, *texts: str) -> str:
        return ",".join([label, *(texts[at % len(texts)] for at in range(20))])

    (draft,) = drafts_of(
        "\n".join(
            [
                line("Race date", "May 14 2031"), line("Clock", "10:23 AM", "11:11 AM", "1:02 PM"),
                line("Lane", "right", "left"), line("R/T", "0.116", "0.237", "0.103"),
                line("60 ft", "1.354", "1.321", "1.461"), line("330 ft", "3.768", "3.725", "3.909"),
                line("1/8 mile ET", "5.70", "5.66", "5.91"), line("1/8 mile MPH", "123.1", "122.9", "121.0"),
            ]
        )
    )  # fmt: skip
    assert len(draft.part.lines) == 20
    assert draft.names() >= {"date", "time", "lane", "reaction_s", "t60_s", "t330_s", "t660_s", "v660_mph"}
