"""Slips copied out as cards, printed pages typed off, and values in an order said once."""

from pathlib import Path
from typing import Any

import pytest

from pipeline.ingest.recognise.in_order import labelled_by_order
from pipeline.ingest.recognise.label_lines import pairs_apart
from tests.ingest.logbooks import GARAGE, column, ingested, write

NAMES = {"air": "air_temp_degf", "baro": "pressure_inhg", "hum": "humidity_pct", "track": "track_temp_degf"}


def meaning(text: str) -> tuple[str, float]:
    return NAMES.get(text, ""), float(text in NAMES)


def read(root: Path, files: dict[str, str]) -> Any:
    con, report = ingested(write(root, {"garage.toml": GARAGE, **files}))
    assert report.open_questions == 0
    return con


@pytest.mark.parametrize(
    ("line", "read"),
    [
        ("67 / 29.11 / 58% / 87", "air 67 | baro 29.11 | hum 58% | track 87"),
        ("67 / - / 58% / 87", "air 67 | hum 58% | track 87"),
        ("67 / 29.11 / 58%", "67 / 29.11 / 58%"),
        ("won / lost / won / won", "won / lost / won / won"),
    ],
)
def test_values_in_an_order_said_once(line: str, read: str) -> None:
    lines = [(1, "air / baro / hum / track under each pass. baro is real"), (9, line)]
    assert labelled_by_order(lines, meaning)[1] == (9, read)


def passes(day: int) -> str:
    return f"\n-- Sat 5/{day} Cinder Flats, Thaw Meet\n" + "".join(
        f"\nPass {at}  {at}:49p  left\nrt .076  60 1.4{at}  330 4.{at}{day}\n1/8 6.34{at} @ 107.84\n"
        f"left at 4900, 1.5 turns, 4.4g\n67 / 29.11 / 58% / 87\nmissed 2-3 shift\n"
        for at in (1, 2, 3, 4)
    )


def test_days_of_as_many_cards_each_and_air_in_the_order_of_a_line(tmp_path: Path) -> None:
    title = (
        "Race notes 2031\nair / baro / hum / track under each pass. baro is off the handheld not sea level\n"
    )
    con = read(tmp_path, {"notes.txt": title + passes(17) + passes(24) + passes(31)})
    rows = column(con, "typed_timeslips", "run_at", "t60_s", "t660_s", "launch_rpm")
    assert [(f"{at:%m-%d %H:%M}", *rest) for at, *rest in rows[:2]] == [
        ("05-17 13:49", 1.41, 6.341, 4900.0), ("05-17 14:49", 1.42, 6.342, 4900.0),
    ]  # fmt: skip
    assert len(rows) == 12
    assert set(column(con, "typed_weather", "pressure_inhg", "humidity_pct")) == {(29.11, 58.0)}


PAGE = """Zwarte Kip - seizoen 2031          blad {page}

Datum      Tijd  Plaats        Ba React  60     330    1/8    Start   Voor- Gew.
                               an        voet   voet   mijl   toeren  span  gram
-----------------------------------------------------------------------------
{day}-05-2031 10:23 Cinder Flats  L  0,10{page}  1,48{page}  4,095  6,317  6300    5,5   1,3
{day}-05-2031 11:00 Cinder Flats  R  0,11{page}  1,49{page}  4,113  6,331  6300    5,5   1,1
{day}-05-2031 12:48 Cinder Flats  R  0,04{page}  1,47{page}  4,105  6,333  6300    5,75  1,1

"""


def test_printed_pages_under_headings_of_two_storeys(tmp_path: Path) -> None:
    con = read(tmp_path, {"runs.txt": "".join(PAGE.format(page=at, day=12 + at) for at in (1, 2, 3))})
    rows = column(con, "typed_timeslips", "run_at", "lane", "t330_s", "preload_turns", "counterweight_g")
    assert len(rows) == 9
    at, *rest = rows[2]
    assert (f"{at:%Y-%m-%d %H:%M}", *rest) == ("2031-05-13 12:48", "right", 4.105, 5.75, 1.1)


def card(at: int) -> list[list[object]]:
    return [
        ["Prova", at, "Data", "2031-05-14", "Ora", f"{9 + at}:55"],
        ["Pista", "Cinder Flats", "Gara", "Thaw Meet", "Corsia", "sinistra"],
        ["Reazione", 0.096, "60 piedi", f"1.48{at}", "330 piedi", f"4.09{at}"],
        ["Giri partenza", 5600, "Precarico (giri vite)", 4.25, "Pesetti (g)", 6.4],
        [],
    ]


def test_cards_with_several_labels_a_line(tmp_path: Path) -> None:
    rows = [row for at in range(1, 6) for row in card(at)]
    con = read(tmp_path, {"cards.csv": "\n".join(",".join(map(str, row)) for row in rows)})
    runs = column(
        con, "typed_timeslips", "run_at", "t60_s", "t330_s", "lane", "launch_rpm", "counterweight_g"
    )
    at, *rest = runs[3]
    assert (len(runs), f"{at:%H:%M}", *rest) == (5, "13:55", 1.484, 4.094, "left", 5600.0, 6.4)


def test_a_label_in_the_last_column_has_no_value_and_breaks_nothing() -> None:
    lines = [(at, ["Pista", "Cinder", "Note"]) for at in range(1, 6)]
    assert {len(cells) for _, cells in pairs_apart(lines)} == {3}
    assert pairs_apart(lines)[1] == (1, ["Note", "", ""])


def test_a_line_of_the_days_air_names_the_strip(tmp_path: Path) -> None:
    head = "Date,No.,Time,Side,60,330,Remarks\n"
    days = "".join(
        f'"{meet}, {strip}. Air 58 F, hygrometer 66 %, track surface 64 F",,,,,,\n'
        + "".join(f"{day} Jun 2031,{at},{at}.45 pm,L.H.,1.48{at},4.09{at},good\n" for at in (1, 2, 3))
        for meet, strip, day in (("Trophy", "Quarry Road", 7), ("Members' meeting", "Cinder Flats", 14))
    )
    garage = GARAGE + '\n[[venue]]\nname = "Quarry Road"\nelevation_ft = 150\n'
    con, _ = ingested(write(tmp_path, {"garage.toml": garage, "book.csv": head + days}))
    assert column(con, "typed_timeslips", "venue") == ["Quarry Road"] * 3 + ["Cinder Flats"] * 3


def test_a_slash_within_blanks_parts_where_one_without_is_a_fractions(tmp_path: Path) -> None:
    rows = "".join(
        f"5/{day}/2031,10:00,1.48{day % 10},4.09{day % 10},6300 / {turns} / 5.3\n"
        for day, turns in ((14, "1"), (15, "3/4"), (16, "3/4"), (17, "3/4"), (18, "2 1/2"))
    )
    sheet = "date,time,60 ft,330 ft,Clutch: rpm / turns / grams\n" + rows
    con = read(tmp_path, {"slips.csv": sheet})
    assert column(con, "typed_timeslips", "preload_turns") == [1.0, 0.75, 0.75, 0.75, 2.5]


def test_timed_readings_among_a_days_lines_are_of_that_day(tmp_path: Path) -> None:
    def day(number: int) -> str:
        return (
            f"\nSat {number}/05/31  Cinder Flats\n10:05  W  air 19  track 26  1004 mb  hum 67%\n"
            f"10:11  C  5400 rpm, 2.25 turns preload, 2.{number % 10} g\n"
            "11:25  W  air 20  track 29  1004 mb  hum 62%\n"
            "13:55  W  air 22  track 31  1005 mb  hum 58%\n"
        )

    title = "My notes from the pits. W = weather, C = clutch as set from then on.\nTemps in C.\n"
    con, _ = ingested(
        write(tmp_path, {"garage.toml": GARAGE, "pit.txt": title + "".join(map(day, (3, 10, 17, 24)))})
    )
    at = [f"{read:%d %H:%M}" for read in column(con, "weather", "read_at")]
    assert at == [
        f"{number:02} {clock}" for number in (3, 10, 17, 24) for clock in ("10:05", "11:25", "13:55")
    ]


def test_a_heading_of_two_words_and_one_of_three_numbers_in_a_cell(tmp_path: Path) -> None:
    rows = "".join(
        f'5/{day}/2031 10:00,"{strip}, {lane}",1.48{day % 10} / 4.09{day % 10},'
        f"7.41{day % 10} / 9.02{day % 10} @ 148.5\n"
        for day, strip, lane in (
            (14, "Cinder", "L"),
            (15, "Cinder", "R"),
            (16, "Cinder", "L"),
            (17, "Cinder", "R"),
        )
    )
    con = read(tmp_path, {"slips.csv": 'Date / time,"Strip, lane",60 / 330,1000 / 1320 @ mph\n' + rows})
    runs = column(con, "typed_timeslips", "venue", "lane", "t60_s", "t1320_s", "v1320_mph")
    assert runs[1] == ("Cinder Flats", "right", 1.485, 9.025, 148.5)


@pytest.mark.parametrize(
    ("title", "went", "air"),
    [
        ("Card", ("spun", "", "good", "good"), "Air / track"),
        ("Slip no.", ("clean", "bogged", "", "lifted"), "air - asphalt"),
    ],
)  # fmt: skip
def test_cards_with_how_the_run_went_beside_their_number_and_two_things_to_a_label(
    tmp_path: Path, title: str, went: tuple[str, ...], air: str
) -> None:
    lines = []
    for at, word in enumerate(went):
        lines += [
            f"{title} {at + 7},{word},mph 1320,14{at}.5", f"Date,2031-05-17,Time,1{at}:30",
            f"Lane,left,RT,0.08{at}", f"Launch rpm,6{at}00,60 ft,1.43{at}",
            f'"{air}",6{at} / 9{at},mph 660,11{at}.5',
            f"Mood,fine,660,6.12{at}", f"Turns,3,1320,9.43{at}", ",,,",
        ]  # fmt: skip
    con, _ = ingested(write(tmp_path, {"cards.csv": "\n".join(lines) + "\n"}))
    assert column(con, "timeslips", "t1320_s", "v1320_mph", "v660_mph") == [
        (9.430, 140.5, 110.5), (9.431, 141.5, 111.5), (9.432, 142.5, 112.5), (9.433, 143.5, 113.5),
    ]  # fmt: skip
    assert column(con, "timeslips", "track_temp_degf") == [90.0, 91.0, 92.0, 93.0]
    assert column(con, "weather", "air_temp_degf") == [60.0, 61.0, 62.0, 63.0]
    outcomes = {"good": "clean", "": None}
    assert column(con, "timeslips", "outcome") == [outcomes.get(word, word) for word in went]
