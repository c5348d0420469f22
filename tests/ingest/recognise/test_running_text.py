"""Texts as people write them: logs with a key of their own, diaries of several lines a run, letters."""

from pathlib import Path

import pytest

from pipeline.ingest.recognise.prose import in_sentences
from pipeline.ingest.recognise.spoken import date_in
from tests.ingest.logbooks import column, ingested, write

STRIPS = '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Cinder Flats"\n'
LOG = """BB = venstre bane, SB = høyre. Fart i km/t.

Lørdag 2. mai 2026, Cinder Flats, Vårtreff
Rekkefølge: reaksjon / 60 / 330 / 660 (fart) / 1000 / 1320 (fart)
  09.21  Vær: luft 14, bane 20, trykk 967, fukt 54 %
  Innstilling: 7200 o/min, forspenning 4½ omdr., motvekt 1,7 g
  09.24  SB  0,030 / 1,461 / 3,988 / 6,208 (178) / 8,130 / 9,774 (220)  rent
  10.52  SB  0,124 / 1,492 / 4,015 / 6,255 (177) / 8,165 / 9,789 (222)  greit
  11.58  BB  -0,011 / 1,455 / 3,971 / 6,186 (176) / 8,058 / 9,779 (220)  tyvstart (rødt)
  13.09  SB  0,036 / 1,435 / 3,937 / 6,170 (177) / 8,097 / 9,732 (221)  greit
"""
DIARY = """Saturday, 28 March 2026. Cinder Flats, the Winter Cup.
This morning the air was 23 degrees and the tar 33, the glass stood at 967, humidity 50 per cent.
At 11.19 am in the right lane. Left the line at 7300 revs with 3 turns of preload and 6.1 g a lever.
Reaction 0.018, sixty feet in 1.389, 330 in 3.859, the eighth in 6.116 at 111.2,
the thousand in 7.976 and the quarter in 9.590 at 141.2.
A clean run.
Ran at 11.56 am, left lane. Clutch and revs as before.
Reaction -0.017, sixty feet in 1.386, 330 in 3.848, the eighth in 6.125 at 111.3,
the thousand in 7.991 and the quarter in 9.576 at 142.4.
Red light, alas. Tea from the flask.
Up a quarter turn on the preload.
Ran at 1.03 pm in the right lane. Nothing altered on the revs.
Reaction 0.083, sixty feet in 1.420, 330 in 3.886, the eighth in 6.122 at 111.1,
the thousand in 7.981 and the quarter in 9.604 at 139.6.
A clean run.
Ran at 2.22 pm in the right lane.
Reaction 0.083, sixty feet in 1.420, 330 in 3.886.
I aborted the run.
"""
SHORT = """g = godzina, t = tor (L lewy, P prawy), r = reakcja
s = 60 stóp, o = 1/8 mili, vo = prędkość na 1/8
prędkości w km/h

08.04.2026 Cinder Flats
ustawienia: obroty 7200, napięcie 3,25 obr., ciężarki 5,2 g
g 09:16 t P r 0,040 s 1,349 o 5,935 vo 181 (czysto)
g 10:22 t L r 0,157 s 1,388 o 6,009 vo 177 (poślizg)
g 11:04 t P r 0,025 s 1,390 o 6,039 vo 182 (dobrze)
"""
BARE = """fredag 10 april 2026 Cinder Flats, hastigheter i km/h
väder 09:34 luft 19 grader, bana 31 grader, tryck 976 hPa, fukt 59 %
koppling: 6800 varv, förspänning 4,25, vikt 5,6 g
09:42 höger
0,116 1,373 3,784
5,998 179 7,852 9,476 225
bra
koppling: 6900 varv, förspänning 4,25, vikt 5,6 g
10:37 höger
0,116 1,402 3,854
6,048 181 7,918 9,533 229
bra
11:25 vänster
-0,011 1,382 3,824
6,018 180 7,888 9,503 227
tjuvstart
"""
LETTER = """Wednesday 15 April 2026

We were at Cinder Flats today for the Spring Meeting. At 09.32 it was 26
degrees with 54 per cent humidity, the barometer at 974 mb and the track at
34. I set the clutch to 3 1/2 turns and 5.2 grams and left the line at 7000
rpm. The first run was at 09.39 in the left lane: reaction -0.031, sixty foot
1.367, 330 in 3.777, the eighth in 5.988 at 111.9 mph, red light. The second
run was at 10.09 in the left lane: reaction 0.099, sixty foot 1.359, 330 in
3.757, the eighth in 5.947 at 111.4 mph, clean. It rained a little, but not so
much that it mattered. The third run was at 11.00 in the right lane: reaction
0.126, sixty foot 1.378, 330 in 3.805, the eighth in 6.004 at 112.3 mph, clean.
"""


def read(tmp_path: Path, text: str) -> tuple[object, list[tuple[object, ...]]]:
    con, _ = ingested(write(tmp_path, {"garage.toml": STRIPS, "notes.txt": text}))
    runs = column(con, "timeslips", "run_at", "lane", "reaction_s", "t60_s", "t660_s", "v660_mph")
    return con, [
        (f"{at:%d %H:%M}", lane, *rest[:3], rest[3] and round(rest[3], 1)) for at, lane, *rest in runs
    ]


def test_a_log_with_its_key_above_and_speeds_in_brackets(tmp_path: Path) -> None:
    con, runs = read(tmp_path, LOG)
    assert runs == [
        ("02 09:24", "right", 0.03, 1.461, 6.208, 110.6),
        ("02 10:52", "right", 0.124, 1.492, 6.255, 110.0),
        ("02 11:58", "left", -0.011, 1.455, 6.186, 109.4),
        ("02 13:09", "right", 0.036, 1.435, 6.17, 110.0),
    ]
    assert column(con, "setups", "launch_rpm", "preload_turns", "counterweight_g") == [(7200.0, 4.5, 1.7)]
    assert column(con, "weather", "air_temp_degf", "humidity_pct") == [(57.2, 54.0)]
    assert column(con, "questions", "problem") == []


def test_a_diary_of_several_lines_a_run(tmp_path: Path) -> None:
    con, runs = read(tmp_path, DIARY)
    assert runs == [
        ("28 11:19", "right", 0.018, 1.389, 6.116, 111.2),
        ("28 11:56", "left", -0.017, 1.386, 6.125, 111.3),
        ("28 13:03", "right", 0.083, 1.42, 6.122, 111.1),
        ("28 14:22", "right", 0.083, 1.42, None, None),
    ]
    assert column(con, "setups", "preload_turns") == [3.0, 3.25]
    assert column(con, "track", "track_temp_degf") == [pytest.approx(91.4)]


def test_short_words_that_the_text_explains(tmp_path: Path) -> None:
    con, runs = read(tmp_path, SHORT)
    assert runs == [
        ("08 09:16", "right", 0.04, 1.349, 5.935, 112.5),
        ("08 10:22", "left", 0.157, 1.388, 6.009, 110.0),
        ("08 11:04", "right", 0.025, 1.39, 6.039, 113.1),
    ]
    assert column(con, "setups", "launch_rpm", "preload_turns") == [(7200.0, 3.25)]


def test_bare_numbers_over_two_lines_with_whole_speeds(tmp_path: Path) -> None:
    con, runs = read(tmp_path, BARE)
    assert runs == [
        ("10 09:42", "right", 0.116, 1.373, 5.998, 111.2),
        ("10 10:37", "right", 0.116, 1.402, 6.048, 112.5),
        ("10 11:25", "left", -0.011, 1.382, 6.018, 111.8),
    ]
    assert sorted(column(con, "setups", "launch_rpm")) == [6800.0, 6900.0]
    assert column(con, "timeslips", "launch_rpm") == [None] * 3  # a setting is for the run below it


def test_a_letter_whose_lines_break_anywhere(tmp_path: Path) -> None:
    con, runs = read(tmp_path, LETTER)
    assert runs == [
        ("15 09:39", "left", -0.031, 1.367, 5.988, 111.9),
        ("15 10:09", "left", 0.099, 1.359, 5.947, 111.4),
        ("15 11:00", "right", 0.126, 1.378, 6.004, 112.3),
    ]
    assert column(con, "setups", "launch_rpm", "preload_turns") == [(7000.0, 3.5)]
    assert column(con, "weather", "air_temp_degf") == [pytest.approx(78.8)]


def test_each_sentence_has_a_row_of_its_own() -> None:
    lines = [(at, text) for at, text in enumerate(LETTER.splitlines(), start=1)]
    rows = [row for row, text in in_sentences(lines) if text]
    assert rows == sorted(set(rows))
    assert dict(in_sentences(lines))[6].startswith("The first run was at 09.39")


@pytest.mark.parametrize(
    ("text", "date"),
    [("Martes 26 de mayo de 2026", "Martes 26 May de 2026"), ("March 26", "Mar 26")],
)
def test_a_weekday_like_a_month_is_none(text: str, date: str) -> None:
    assert date_in(text)[0] == date
