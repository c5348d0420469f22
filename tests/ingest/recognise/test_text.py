"""Plain text: printed forms, cards, messages, diaries and lists, read to the store."""

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

FORM = """
                     RUN SHEET                     PAGE 1
DATE: 2031-04-22    TRACK: Quarry Road    EVENT: Points 2    CAR: Marigold
WEATHER AT 4:52 PM:  AIR 65 F   HUMIDITY 60 %   STATION PRESSURE 29.19 IN
------------------------------------------------------------------
  NO     TIME  LN    R/T   60 FT  330 FT  660 FT     MPH  REMARKS
------------------------------------------------------------------
   1  5:17 PM   L   .084    1.48    4.14    6.30  112.02  clean
   2  5:46 PM   R   .149    1.49    4.14    6.29  112.69  spun it, a bit
   3  6:20 PM   L   .093    1.47    4.12    6.29  111.51  clean
------------------------------------------------------------------
SIGNED ..................
"""
BELOW = "\n".join(
    line + ("\n      PRELOAD 5.5   G/ARM 4.9   LAUNCH 7400" if line.strip()[:1].isdigit() else "")
    for line in FORM.splitlines()
)
CARDS = "".join(
    f"=== run {at} ===\nDate .... 22.04.2031\nTime .... {at}:17 pm\nTrack .... Quarry Road\n"
    f"60 ft .... 1.4{at}\n330 ft .... 4.1{at}\n660 ft .... 6.3{at}\n660 mph .... 11{at}.4\nHorn .... loud\n\n"
    for at in (2, 3, 4)
)
CHAT = (
    "Apr 22, 2031, 4:08 PM - Ann: at Quarry Road for Points 2\n"
    "Apr 22, 2031, 4:13 PM - Ann: setup: 4 turns preload, 6.0 g per arm, launch 5200 rpm\n"
    "Apr 22, 2031, 4:23 PM - Ann: air 73.7 F, humidity 58%, station baro 29.03\n"
    "Apr 22, 2031, 5:11 PM - Ann: .034 light, 60 1.42, 330 3.90, 1/8 6.03 @ 114.8 mph, left lane, clean\n"
    "Apr 22, 2031, 5:12 PM - Bert: keep at it\n"
    "Apr 22, 2031, 5:40 PM - Ann: launching at 5100 rpm from here\n"
    "Apr 22, 2031, 5:49 PM - Ann: .011 light, 60 1.41, 330 3.88, 1/8 6.02 @ 114.7 mph, right lane, clean\n"
    "Apr 22, 2031, 6:26 PM - Ann: .054 light, 60 1.43, 330 3.94, 1/8 6.06 @ 114.0 mph, right lane, bogged\n"
)
DIARY = """April 22, 2031
Points 2 at Quarry Road. Good turnout.
At 4:41 PM it was 75 degrees F with 54 percent humidity, altimeter 29.79 inches.
Setup to start: 5 1/2 turns of preload, 6.4 grams on each arm, leaving at 7250 rpm.
First run, 5:36 PM, left lane: .054 reaction, 1.41 sixty foot,
3.95 at the 330, 5.98 at 118.8 mph in the eighth. Nice and clean.
Took 0.4 g off every arm.
Second pass at 6:43 PM, left lane: .094 reaction, 1.43 in the 60 ft,
3.97 at the 330, 6.01 at 118.6 mph in the eighth. Bogged.
+1/2 turn preload.
Third pass at 7:50 PM, right lane: .193 reaction, 1.48 in the 60 ft,
4.08 at the 330, 6.14 at 117.7 mph in the eighth. Bogged.
"""
LIST = """(60 ft / 330 ft / 1/8, ET @ km/h)

===== 2030 =====

15. September - Quarry Road - Points 2
Setup: Vorspannung 2.75 Umdrehungen, 7.0 g je Arm, Start bei 6450 rpm
T1     17:15  links   RT 0.080  1.374 / 3.867 / 5.859 @ 195.11
       ... sauber, track 30 °C
Q1     17:52  rechts  RT 0.123  1.377 / 3.861 / 5.850 @ 195.84

===== 2031 =====

22. April - Quarry Road - Points 1
E1     17:32  links   RT 0.072  1.398 / 3.904 / 5.883 @ 193.01
"""


def runs(con: object) -> list[tuple[object, ...]]:
    return column(con, "timeslips", "run_at", "venue", "t60_s", "t660_s", "v660_mph")


@pytest.mark.parametrize("form", [FORM, BELOW], ids=["on one line", "setup below each run"])
def test_a_printed_form(tmp_path: Path, form: str) -> None:
    con, _ = ingested(write(tmp_path, {"form.txt": form}))
    assert [str(run[0]) for run in runs(con)] == [f"2031-04-22 {at}:00" for at in ("17:17", "17:46", "18:20")]
    assert runs(con)[1][1:] == ("Quarry Road", 1.49, 6.29, 112.69)
    assert column(con, "weather", "air_temp_degf", "pressure_inhg") == [(65.0, 29.19)]
    assert column(con, "timeslips", "launch_rpm") == [7400.0 if form is BELOW else None] * 3


def test_cards_of_a_label_and_a_value_a_line(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"cards.txt": CARDS}))
    assert [(str(at), strip, *rest) for at, strip, *rest in runs(con)] == [
        ("2031-04-22 14:17:00", "Quarry Road", 1.42, 6.32, 112.4),
        ("2031-04-22 15:17:00", "Quarry Road", 1.43, 6.33, 113.4),
        ("2031-04-22 16:17:00", "Quarry Road", 1.44, 6.34, 114.4),
    ]


def test_messages_with_their_senders(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"chat.txt": CHAT}))
    assert [str(run[0])[11:16] for run in runs(con)] == ["17:11", "17:49", "18:26"]
    assert {run[1] for run in runs(con)} == {"Quarry Road"}
    assert column(con, "setups", "launch_rpm") == [5200.0, 5100.0]
    assert column(con, "weather", "air_temp_degf") == [73.7]


def test_a_diary_in_sentences_with_changes(tmp_path: Path) -> None:
    con, report = ingested(write(tmp_path, {"diary.txt": DIARY}))
    assert [str(run[0])[11:16] for run in runs(con)] == ["17:36", "18:43", "19:50"]
    assert runs(con)[0][2:] == (1.41, 5.98, 118.8)
    assert sorted(column(con, "setups", "row", "preload_turns", "counterweight_g")) == [
        (4, 5.5, 6.4), (7, None, 6.0), (10, 6.0, None),
    ]  # fmt: skip
    assert column(con, "typed_weather", "humidity_pct", "pressure_kind") == [(54.0, "altimeter")]
    assert not any("count for nothing" in problem for problem in report.problems)


def test_a_list_with_its_years_between_and_remarks_below(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"list.txt": LIST}))
    assert [str(run[0])[:16] for run in runs(con)] == [
        "2030-09-15 17:15",
        "2030-09-15 17:52",
        "2031-04-22 17:32",
    ]
    assert round(runs(con)[0][4], 2) == 121.24  # type: ignore[call-overload]
    assert column(con, "timeslips", "track_temp_degf")[0] == 86.0


def test_air_beside_the_runs_in_a_text_file(tmp_path: Path) -> None:
    air = "".join(
        f"Tue Apr 22, 2031 {at}:21 PM\nTemperature {80 + at}.2 °F\nHumidity 60 %\nAltimeter 30.17 inHg\n"
        f"Density altitude 2,370 ft\nWind N 10 mph\n\n"
        for at in (4, 5)
    )
    con, _ = ingested(write(tmp_path, {"air.txt": air}))
    found = column(
        con, "typed_weather", "read_at", "air_temp_degf", "pressure_inhg", "pressure_kind", "wind_from"
    )
    assert [(str(at)[11:16], *rest) for at, *rest in found] == [
        ("16:21", 84.2, 30.17, "altimeter", "N"), ("17:21", 85.2, 30.17, "altimeter", "N"),
    ]  # fmt: skip


def test_a_pocket_diary_with_the_air_and_the_clutch_below_each_day(tmp_path: Path) -> None:
    diary = (
        "Saturday 15th April 2023. Opening meeting, Blackbarrow.\n"
        "   Morning: air 13C, track 21C, glass 29.30 in., damp 41%.\n"
        "   Clutch 2 3/4 turns, 2.2 g, leave at 5300.\n"
        "10.31am, left; .126, 1.542 / 4.219 / 6.508 at 107.8 / 8.487 / 10.188 at 134.0. Tea after.\n"
        "11.32am, left; .025, 1.531 / 4.198 / 6.501 at 107.1 / 8.505 / 10.203 at 134.1. Good.\n"
        "   Afternoon: air 17C, track 28C, glass 29.32 in., damp 30%.\n"
        "1.06pm, right; .118, 1.535 / 4.211 / 6.520 at 107.2 / 8.502 / 10.195 at 134.9.\n"
    )
    garage = '[[venue]]\nname = "Blackbarrow Strip"\n'
    con, report = ingested(write(tmp_path, {"diary.txt": diary, "garage.toml": garage}))
    assert column(con, "timeslips", "reaction_s", "t60_s", "v660_mph") == [
        (0.126, 1.542, 107.8), (0.025, 1.531, 107.1), (0.118, 1.535, 107.2),
    ]  # fmt: skip
    assert [f"{at:%H:%M}" for at in column(con, "timeslips", "run_at")] == ["10:31", "11:32", "13:06"]
    assert set(column(con, "timeslips", "venue")) == {"Blackbarrow Strip"}
    assert column(con, "setups", "preload_turns", "counterweight_g", "launch_rpm") == [(2.75, 2.2, 5300.0)]
    assert report.open_questions == 0


def test_a_diary_without_decimal_points(tmp_path: Path) -> None:
    text = "Tuesday 22 April 2031, Quarry Road Raceway\n" + "".join(
        f"1{at}:12 went 14{at}5 in the sixty, 401{at} at the 330 and 619{at} at the eighth, 11{at} mph. "
        "Launched at 5800.\n"
        for at in range(6)
    )
    con, _ = ingested(write(tmp_path, {"diary.txt": text}))
    assert runs(con)[1][1:] == ("Quarry Road Raceway", 1.415, 6.191, 111.0)
    assert set(column(con, "timeslips", "launch_rpm")) == {5800.0}


def test_passes_among_more_lines_of_settings_and_air(tmp_path: Path) -> None:
    text = "== Sat Apr 22 2031 Quarry Road Raceway ==\n" + "".join(
        f"SET 6{at}00, 2.25 turns, 3.{at}g\nWX 7{at}, 29.6{at}, 5{at}%, 9{at}\n"
        f"1{at}:32 L .09{at} / 1.54{at} / 4.01{at} / 6.06{at} @ 116.{at} / 7.80{at} / 9.39{at} @ 147.{at}\n"
        for at in range(6)
    )
    con, _ = ingested(write(tmp_path, {"log.txt": text}))
    assert runs(con)[1][2:] == (1.541, 6.061, 116.1)
    assert column(con, "timeslips", "reaction_s")[1] == 0.091


def test_a_figure_too_many_shifts_what_stands_behind_it_and_no_other_row(tmp_path: Path) -> None:
    widths = (3, 6, 3, 7, 7, 7, 7, 6, 7, 7, 6, 4, 5, 4, 5)
    head = "nr tyd bn reak 60vt 330vt 1/8 km/h 1000vt 1/4 km/h lug druk vog baan"
    runs = [
        f"{at} 1{at}:{at:02} L 0,12{at} 1,41{at} 3,91{at} 6,05{at} 182,3"
        f" 7,90{at} 9,48{at} 228,{at} 22 835 44 24"
        for at in range(10)
    ]
    head, *rows = (
        "".join(f"{word:>{width}}" for word, width in zip(line.split(), widths, strict=True))
        for line in (head, *runs)
    )
    rows[4] = rows[4].replace("182,3  7,904", "182,33  7,904")
    con, _ = ingested(write(tmp_path, {"log.txt": "\n".join(["Sat 17 May 2031", head, *rows]) + "\n"}))
    read = column(con, "timeslips", "t60_s", "t330_s", "t1000_s", "t1320_s")
    assert read[3:5] == [(1.413, 3.913, 7.903, 9.483), (1.414, 3.914, 7.904, 9.484)]
    assert column(con, "timeslips", "v660_mph") == pytest.approx([113.28] * 10, abs=0.05)
    assert column(con, "weather", "humidity_pct") == [44.0] * 10
