"""One cell at a time: numbers, dates, times, outcomes and names as people write them."""

import datetime as dt

import pytest

from pipeline.garage.logbook import Garage
from pipeline.garage.spelling import folded
from pipeline.garage.units import Conversion
from pipeline.ingest.dates import read_dates, read_time
from pipeline.ingest.readings import read_cell
from pipeline.ingest.spellings import lane_words, read_names, read_pressure_kind
from pipeline.ingest.values import read_hardware, read_number, read_screws

SAME = Conversion(1.0, 0.0)
NO_GARAGE = Garage.model_validate({})


@pytest.mark.parametrize(
    ("text", "unit", "suggested"),
    [("12 furlongs", "s", 24.5), ("6.O86", "s", 12.672), ("3 blinks2", "s", None)],
)
def test_a_reading_suggested_is_in_the_unit_of_the_heading(text, unit, suggested) -> None:
    found = read_number(text, unit, Conversion(2.0, 0.5))
    assert found.value is None
    assert found.suggestion == (None if suggested is None else pytest.approx(suggested))


@pytest.mark.parametrize(("text", "meant"), [("23/4", 2.75), ("51/4 turns", 5.25), ("11/2", 1.5)])
def test_a_fraction_without_its_space_is_asked_about(text: str, meant: float) -> None:
    found = read_number(text, "turn", SAME)
    assert (found.value, found.suggestion) == (None, meant)


@pytest.mark.parametrize(("text", "value"), [("11/16", 0.6875), ("9/4", 2.25), ("1/2", 0.5)])
def test_a_fraction_that_nothing_can_be_parted_from_is_read(text: str, value: float) -> None:
    assert read_number(text, "turn", SAME).value == value


def test_a_long_text_is_told_by_its_beginning() -> None:
    text = "about one and a half or so, as far as I could read the slip"
    assert f"{text[:37]}..." in read_number(text, "s", SAME).problem


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("1.482", "s", 1.482),
        ("1482 ms", "s", 1.482),
        ("+1.5", "s", 1.5),
        ("−0.05", "s", -0.05),
        (".051", "s", 0.051),
        ("3 1/2", "turn", 3.5),
        ("3-1/2 turns", "turn", 3.5),
        ("3½", "turn", 3.5),
        ("1/4", "in", 0.25),
        ('1/4"', "in", 0.25),
        ("84F", "degF", 84.0),
        ("29 C", "degF", 84.2),
        ("302.594 K", "degF", 84.9992),
        ('29.92"', "inHg", 29.92),
        ("29.92 inHg", "inHg", 29.92),
        ("55 %RH", "%", 55.0),
        ("5 thou", "in", 0.005),
        ("0.25 oz", "g", 7.08738078125),
        ("6,200", "rpm", 6200.0),
        ("4,250", "rpm", 4250.0),
        ("5.7k", "rpm", 5700.0),
        ("6,25 k rpm", "rpm", 6250.0),
        ("5.7k", "s", None),
        ("1,234.5", "rpm", 1234.5),
        ("1.234,5", "rpm", 1234.5),
        ("3,982", "s", 3.982),
        ("5,2500", "s", 5.25),
        ("nan", "s", None),
        ("infinity", "s", None),
        ("1e5", "s", None),
        ("12 lb", "s", None),
        ("1.2.3", "s", None),
        ("--5", "s", None),
        ("5/0", "in", None),
    ],
)
def test_numbers(text: str, unit: str, expected: float | None) -> None:
    found = read_number(text, unit, SAME)
    assert found.value == (None if expected is None else pytest.approx(expected, rel=1e-6))
    assert (found.problem == "") == (expected is not None)


@pytest.mark.parametrize(
    ("text", "has_commas", "number", "suggestion"),
    [
        ("1,482", True, 1.482, None),
        ("1,482", False, None, "1.482"),
        ("9,72", False, None, "9.72"),
    ],
)
def test_a_comma_in_a_split_follows_the_sheets_habit(
    text: str, has_commas: bool, number: float | None, suggestion: str | None
) -> None:
    found = read_cell(text, "t60_s", SAME, NO_GARAGE, has_commas=has_commas)
    assert (found["number"], found["suggestion"]) == (number, suggestion)


def test_a_comma_in_rpm_separates_thousands_whatever_the_habit() -> None:
    for has_commas in (True, False):
        assert read_cell("6,200", "launch_rpm", SAME, NO_GARAGE, has_commas=has_commas)["number"] == 6200.0


@pytest.mark.parametrize(
    "text",
    [
        "2031-05-04", "2031/5/4", "20310504", "May 4, 2031", "May 4 2031", "4 May 2031", "4-May-31",
        "Sun May 4 2031", "may 4th, 2031", "2031-05-04 00:00:00", "47972",
    ],
)  # fmt: skip
def test_clear_dates(text: str) -> None:
    found = read_dates([text])[text]
    assert (found.day, found.problem) == (dt.date(2031, 5, 4), "")


def test_month_first_by_evidence_of_the_sheet() -> None:
    found = read_dates(["5/4/2031", "5/14/2031"])
    assert found["5/4/2031"].day == dt.date(2031, 5, 4)


def test_day_first_by_evidence_of_the_sheet() -> None:
    found = read_dates(["4.5.2031", "14.5.2031"])
    assert found["4.5.2031"].day == dt.date(2031, 5, 4)


def test_the_other_sheets_decide_when_this_one_does_not() -> None:
    assert read_dates(["5/4/2031"], {"14/5/2031": 3})["5/4/2031"].day == dt.date(2031, 4, 5)


def test_without_evidence_it_is_a_question_with_a_suggestion() -> None:
    found = read_dates(["5/4/2031"])["5/4/2031"]
    assert found.day is None
    assert found.suggestion == dt.date(2031, 5, 4)
    assert "month" in found.problem


def test_one_date_the_other_way_round_is_a_question() -> None:
    found = read_dates([f"5/{day}/2031" for day in range(13, 29)] + ["14/5/2031"])["14/5/2031"]
    assert (found.day, found.suggestion) == (None, dt.date(2031, 5, 14))


@pytest.mark.parametrize("text", ["32/5/2031", "2031-02-30", "May 2031", "soon", "99/99/99", "1850-01-01"])
def test_what_is_no_date_says_so(text: str) -> None:
    found = read_dates([text])[text]
    assert found.day is None
    assert found.problem.startswith(repr(text))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("7:40 pm", dt.time(19, 40)),
        ("7:40PM", dt.time(19, 40)),
        ("7p", dt.time(19)),
        ("12:05 am", dt.time(0, 5)),
        ("12 p.m.", dt.time(12)),
        ("19:40", dt.time(19, 40)),
        ("1940", dt.time(19, 40)),
        ("19h40", dt.time(19, 40)),
        ("1899-12-31 14:31:59.995", dt.time(14, 32)),
        ("noon", dt.time(12)),
        ("0.3125", dt.time(7, 30)),
        (".75", dt.time(18)),
        ("0.9999", dt.time(0, 0)),
        ("25:00", None),
        ("13 pm", None),
        ("late", None),
    ],
)
def test_times_of_day(text: str, expected: dt.time | None) -> None:
    found, problem = read_time(text)
    assert found == expected
    assert (problem == "") == (expected is not None)


def test_screws_hardware_lanes_and_kinds() -> None:
    assert read_screws("3/3/3.5/3/3/3") == (3, 3, 3.5, 3, 3, 3)
    assert read_screws("3 3") is None
    assert read_hardware(
        "2 steel nuts + 1 steel bolt", {"steel nut": 3.6, "steel bolt": 7.9}
    ) == pytest.approx(15.1)
    assert read_hardware("steel nut", {"steel nut": 3.6}) == pytest.approx(3.6)
    assert read_hardware("2 brass nuts", {"steel nut": 3.6}) is None
    words = lane_words({"L": 3, "right": 1})
    assert [words.get(folded(text)) for text in ("L", "right", "2", "3")] == ["left", "right", "right", None]
    assert read_pressure_kind("Alt. setting") in {None, "altimeter"}
    assert read_pressure_kind("abs") == "station"


def test_names_close_to_a_known_one_are_doubted_but_other_numbers_are_other_cars() -> None:
    found = read_names(
        ["MARIGOLD", "Marigod", "Car 2", "Cinder"], {"Marigold": ["the yellow car"], "Car 1": []}
    )
    assert found["MARIGOLD"] == ("Marigold", None)
    assert found["Marigod"] == ("Marigod", "Marigold")
    assert found["Car 2"] == ("Car 2", None)
    assert found["Cinder"] == ("Cinder", None)


def test_dotted_dates_are_day_first_and_never_judged_by_slashed_ones():
    found = read_dates(["12.04.2031", "03.05.2031", "5/31/2031"], {"5/14/2031": 9})
    assert [found[text].day for text in ("12.04.2031", "03.05.2031")] == [
        dt.date(2031, 4, 12),
        dt.date(2031, 5, 3),
    ]
    assert found["5/31/2031"].day == dt.date(2031, 5, 31)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("Sun 8/7/22", "2022-08-07"),
        ("Fri 8/7/22", "2022-07-08"),
        ("lör 26/3 2022", "2022-03-26"),
        ("Saturday 14 September 2024", "2024-09-14"),
        ("Mar 30 2024", "2024-03-30"),
        ("29MAR25", "2025-03-29"),
        ("30. März 2024", "2024-03-30"),
    ],
)
def test_dates_in_more_hands(text: str, day: str) -> None:
    assert str(read_dates([text])[text].day) == day


@pytest.mark.parametrize(
    ("text", "clock"),
    [("kl 16.16", "16:16"), ("16:16 Uhr", "16:16"), ("13:02:00-04:00", "13:02"), ("1234 hrs", "12:34")],
)
def test_clocks_in_more_hands(text: str, clock: str) -> None:
    found, _ = read_time(text)
    assert found is not None
    assert f"{found:%H:%M}" == clock


def test_a_letter_in_a_time_stays_a_question() -> None:
    assert read_number("1.4x2", "s", Conversion(1.0, 0.0)).value is None


@pytest.mark.parametrize(
    ("text", "unit", "value"), [("2-step 6200", "rpm", 6200), ("4.5g x 6", "g", 4.5), ("5.5g ea", "g", 5.5)]
)
def test_settings_with_words_beside_them(text: str, unit: str, value: float) -> None:
    assert read_number(text, unit, Conversion(1.0, 0.0)).value == value


def test_days_of_the_week_tell_the_order_of_the_other_dates() -> None:
    read = read_dates(["Sat 05/09/2026", "Sun 06/07/2026"])  # May 9 and September 5 are both Saturdays
    assert [each.day for each in read.values()] == [dt.date(2026, 5, 9), dt.date(2026, 6, 7)]
    assert read_dates(["samedi 09/05/2026"])["samedi 09/05/2026"].day == dt.date(2026, 5, 9)
    assert read_dates(["Sat 05/09/2026"])["Sat 05/09/2026"].day is None


def test_a_weekday_that_another_year_or_month_makes_true_is_asked_about() -> None:
    read = read_dates(["Sun 6/21/2025", "Sat 6/20/2026", "Sat 6/30/2026", "Sun 5/31/2026", "Mon 5/30/2026"])
    assert read["Sun 6/21/2025"].suggestion == dt.date(2026, 6, 21)
    assert read["Sat 6/30/2026"].suggestion == dt.date(2026, 5, 30)
    assert read["Mon 5/30/2026"].day == dt.date(2026, 5, 30)  # more likely the weekday is wrong


def test_a_weekday_that_another_figure_makes_true_beside_a_day_of_the_sheet() -> None:
    read = read_dates(["Sat 19 September 2026", "Sun 10 September 2026", "Sat 5 September 2026"])
    assert read["Sun 10 September 2026"].suggestion == dt.date(2026, 9, 20)
    assert read["Sat 5 September 2026"].day == dt.date(2026, 9, 5)


@pytest.mark.parametrize(
    ("text", "unit", "suggestion"), [("4.lg", "g", 4.1), ("1.43S", "s", 1.435), ("3,l psi", "psi", 3.1)]
)
def test_a_letter_in_a_number_with_its_unit(text: str, unit: str, suggestion: float) -> None:
    reading = read_number(text, unit, Conversion(1.0, 0.0))
    assert (reading.value, reading.suggestion) == (None, pytest.approx(suggestion))
