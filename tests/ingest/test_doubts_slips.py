"""Rules about the numbers of one slip: three or four rows in, the exact questions out."""

import datetime as dt
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import duckdb
import pytest

from pipeline.garage.logbook import Garage
from tests.ingest.doubt_cases import CLEAN_SLIP, DAY, asked, empty_store, put, run_rules, slips
from tests.ingest.logbooks import GARAGE as LOGBOOK_GARAGE
from tests.ingest.logbooks import HEADING, ingested, write

FIRST = 14  # row of the first changed slip: twelve steady ones stand above it, under the headings
SUSPECT = {"run_at": DAY + dt.timedelta(hours=17), **CLEAN_SLIP}
CASES: dict[str, tuple[dict[str, Any], list[tuple[str, str | None, str]]]] = {
    "missing decimal": ({"t60_s": 1482.0}, [("t60_s", "1.482", "missing_decimal")]),
    "decimal one place off": ({"t330_s": 39.52}, [("t330_s", "3.952", "missing_decimal")]),
    "speed without its point": ({"v1320_mph": 14504.0}, [("v1320_mph", "145.04", "missing_decimal")]),
    "swapped digits at 60 ft": ({"t60_s": 1.842}, [("t60_s", "1.482", "swapped_digits")]),
    "swapped digits at 330 ft": ({"t330_s": 3.592}, [("t330_s", "3.952", "swapped_digits")]),
    "swapped digits at the stripe": ({"t1320_s": 4.944}, [("t1320_s", "9.444", "swapped_digits")]),
    "one digit wrong": ({"t660_s": 8.061}, [("t660_s", "6.061", "wrong_digit")]),
    "a digit typed twice": ({"t660_s": 66.061}, [("t660_s", "6.061", "added_digit")]),
    "a digit left out": ({"v660_mph": 16.32}, [("v660_mph", "116.32", "dropped_digit")]),
    "a minus sign": ({"t330_s": -3.952}, [("t330_s", "3.952", "minus_sign")]),
    "reaction and 60 ft exchanged": (
        {"t60_s": 0.071, "reaction_s": 1.482},
        [("reaction_s", "0.071", "wrong_column"), ("t60_s", "1.482", "wrong_column")],
    ),
    "exchanged splits": (
        {"t330_s": 6.061, "t660_s": 3.952},
        [("t330_s", "3.952", "splits_not_rising"), ("t660_s", "6.061", "splits_not_rising")],
    ),
    "time and speed exchanged": (
        {"t660_s": 116.32, "v660_mph": 6.061},
        [("t660_s", "6.061", "time_and_speed_swapped"), ("v660_mph", "116.32", "time_and_speed_swapped")],
    ),
    "typed in the next column": (
        {"t330_s": None, "t660_s": 3.952},
        [("t330_s", "3.952", "next_column"), ("t660_s", "empty", "next_column")],
    ),
    "60 ft typed as reaction": (
        {"t60_s": None, "reaction_s": 1.482, "t330_s": 3.952},
        [("reaction_s", "empty", "next_column"), ("t60_s", "1.482", "next_column")],
    ),
    "the row moved on by one": (
        {"t660_s": None, "v660_mph": 6.061, "t1000_s": 116.32, "t1320_s": 7.887, "v1320_mph": 9.444},
        [
            ("t1000_s", "7.887", "shifted_row"), ("t1320_s", "9.444", "shifted_row"),
            ("t660_s", "6.061", "shifted_row"), ("v1320_mph", "empty", "shifted_row"),
            ("v660_mph", "116.32", "shifted_row"),
        ],
    ),
    "a 60 ft no start explains, with usual times after it": (
        {"t60_s": 1.182},
        [("t60_s", "1.482", "wrong_digit")],
    ),
    "a digit typed twice on a run gone wrong": (
        {"t330_s": 4.302, "t660_s": 6.761, "v660_mph": 111.3, "t1000_s": 8.601, "t1320_s": 10.165,
         "v1320_mph": 1143.1},
        [("v1320_mph", "143.10", "added_digit")],
    ),
    "time lost, and the speed as ever": ({"t1320_s": 9.944}, [("t1320_s", "9.494", "swapped_digits")]),
    "digits exchanged by little": ({"t60_s": 1.428}, [("t60_s", "1.482", "swapped_digits")]),
    "what a spin lost and won again": (
        {"outcome": "spun", "t60_s": 1.842, "t330_s": 4.732, "t660_s": 6.482, "t1000_s": 8.308,
         "t1320_s": 9.865},
        [("t330_s", "4.372", "swapped_digits")],
    ),
    "a time from nowhere is not made to fit": ({"t330_s": 6.324}, [("t330_s", None, "does_not_fit")]),
    "nothing explains it": ({"t1000_s": 6.512}, [("t1000_s", None, "does_not_fit")]),
}  # fmt: skip
HONEST: dict[str, dict[str, Any]] = {
    "an ordinary run": {},
    "spun, and says so": {"outcome": "spun", "t60_s": 1.902, "t330_s": 4.42, "t660_s": 6.53, "t1000_s": 8.356,
                          "t1320_s": 9.913},
    "bogged": {"outcome": "bogged", "t60_s": 1.702, "t330_s": 4.182, "t660_s": 6.29, "t1000_s": 8.116,
               "t1320_s": 9.673},
    "missed shift": {"outcome": "missed shift", "t660_s": 6.702, "v660_mph": 112.1, "t1000_s": 8.551,
                     "t1320_s": 10.118, "v1320_mph": 143.2},
    "lifted near the stripe": {"outcome": "lifted", "t1320_s": 9.744, "v1320_mph": 112.0},
    "lifted, and nobody wrote it down": {"t1320_s": 9.744, "v1320_mph": 112.0},
    "a missed shift that nobody wrote down": {"t330_s": 4.34, "t660_s": 6.449, "v660_mph": 113.4,
                                              "t1000_s": 8.271, "t1320_s": 9.831},
    "spun, and nobody wrote it down": {"t60_s": 1.622, "t330_s": 4.212, "t660_s": 6.32, "t1000_s": 8.146,
                                       "t1320_s": 9.702},
    "given up half way, and nobody wrote it down": {"t660_s": 7.271, "v660_mph": 68.18, "t1000_s": 10.787,
                                                    "t1320_s": 14.317, "v1320_mph": 61.99},
    "a soft run, clean all the way": {"t60_s": 1.552, "t330_s": 4.03, "t660_s": 6.141, "t1000_s": 7.968,
                                      "t1320_s": 9.526},
    "red light": {"outcome": "red light", "reaction_s": -0.04},
    "ended at the eighth": {"t1000_s": None, "t1320_s": None, "v1320_mph": None},
}  # fmt: skip


@pytest.fixture(scope="module")
def judged() -> Iterator[duckdb.DuckDBPyConnection]:
    """Every case as a car and a sheet of its own, judged together."""
    con = empty_store()
    changes = {name: change for name, (change, _) in CASES.items()} | HONEST
    for name, change in changes.items():
        put(con, "timeslips", [row | {"car": name} for row in slips(SUSPECT | change)], file=name)
    run_rules(con)
    yield con
    con.close()


@pytest.mark.parametrize("case", CASES)
def test_a_bad_number_is_asked_about(case: str, judged: duckdb.DuckDBPyConnection) -> None:
    assert asked(judged, case) == [
        (FIRST, column, suggestion, "questioned", rule) for column, suggestion, rule in CASES[case][1]
    ]


@pytest.mark.parametrize("case", HONEST)
def test_an_honest_run_is_left_alone(case: str, judged: duckdb.DuckDBPyConnection) -> None:
    assert asked(judged, case) == []


def test_a_car_with_two_runs_is_judged_by_physics_alone_even_with_two_errors_in_a_row() -> None:
    con = empty_store()
    put(con, "timeslips", slips({}, SUSPECT | {"t60_s": 1482.0, "v660_mph": 161.32}, steady=0))
    run_rules(con)
    assert [found[:3] for found in asked(con)] == [(3, "t60_s", "1.482"), (3, "v660_mph", "116.32")]


def test_the_only_number_of_a_run_gets_its_point_back() -> None:
    con = empty_store()
    alone = dict.fromkeys(SUSPECT | {"t60_s": 0}, None) | {"t60_s": 1846.0, "outcome": "broke"}
    put(con, "timeslips", slips({name: value for name, value in alone.items() if name[0] in "tvo"}))
    run_rules(con)
    assert asked(con) == [(FIRST, "t60_s", "1.846", "questioned", "missing_decimal")]


def test_a_person_who_never_writes_the_point_is_asked_every_time() -> None:
    con = empty_store()
    rows = slips(steady=8)
    put(con, "timeslips", [row | {"t60_s": round(row["t60_s"] * 1000)} for row in rows])
    run_rules(con)
    assert [found[:3] for found in asked(con)] == [
        (at, "t60_s", f"{row['t60_s']:.3f}") for at, row in enumerate(rows, start=2)
    ]


def test_slips_without_a_car_are_judged_together() -> None:
    con = empty_store()
    put(con, "timeslips", [row | {"car": None} for row in slips(SUSPECT | {"t330_s": 3.592})])
    run_rules(con, Garage.model_validate({}))
    assert [found[:3] for found in asked(con)] == [(FIRST, "t330_s", "3.952")]


def test_an_eighth_mile_ticket_has_no_column_beyond_its_last() -> None:
    con = empty_store()
    eighth = {"t1000_s": None, "t1320_s": None, "v1320_mph": None}
    rows = slips(SUSPECT | {"t660_s": None, "v660_mph": 6.061})
    put(con, "timeslips", [row | eighth for row in rows])
    run_rules(con)
    assert [found[:3] for found in asked(con)] == [(FIRST, "t660_s", "6.061"), (FIRST, "v660_mph", "empty")]


def test_a_quick_car_is_judged_by_its_own_runs_not_by_a_fixed_range() -> None:
    quick = {name: value * (0.62 if name.endswith("_s") else 1 / 0.62) for name, value in CLEAN_SLIP.items()}
    con = empty_store()
    put(con, "timeslips", [row | {"car": "Sparrow"} for row in slips()])
    rows = slips(steady=12)
    for row in rows:
        for name, value in quick.items():
            row[name] = round(row[name] - CLEAN_SLIP[name] + value, 3)
    rows[7]["t60_s"] = 1.482  # another car's ordinary 60 ft
    put(con, "timeslips", rows, file="quick.csv")
    run_rules(con)
    assert {(row, column) for row, column, *_ in asked(con)} <= {(9, "t60_s")}


def test_the_same_run_typed_twice_is_set_aside_without_a_question() -> None:
    con = empty_store()
    rows = slips(steady=4)
    put(con, "timeslips", rows)
    put(con, "timeslips", [rows[1]], file="phone.csv")
    run_rules(con)
    assert asked(con) == []
    assert con.execute("select file, row, same_file, same_row from doubles").fetchall() == [
        ("phone.csv", 2, "timeslips.csv", 3)
    ]


def test_the_same_run_typed_twice_and_not_alike_asks_which() -> None:
    con = empty_store()
    rows = slips(steady=8)
    rows[1]["t1000_s"] += 0.09
    put(con, "timeslips", rows)
    put(con, "timeslips", [rows[1] | {"t1000_s": rows[1]["t1000_s"] - 0.09}], file="phone.csv")
    run_rules(con)
    right = f"{rows[1]['t1000_s'] - 0.09:.3f}"
    assert asked(con) == [(3, "t1000_s", right, "questioned", "doubles_differ")]


def test_two_runs_at_one_written_time_are_two_runs() -> None:
    con = empty_store()
    rows = slips(steady=6)
    put(con, "timeslips", [row | {"run_at": DAY + dt.timedelta(hours=18)} for row in rows])
    run_rules(con)
    assert con.execute("select count(*) from doubles").fetchall()[0] == (0,)


def test_runs_of_one_moment_are_compared_beyond_its_first() -> None:
    con = empty_store()
    rows = [row | {"run_at": DAY + dt.timedelta(hours=18)} for row in slips(steady=6)]
    put(con, "timeslips", [*rows, rows[3]])
    run_rules(con)
    assert con.execute("select row, same_row from doubles").fetchall() == [(8, 5)]


def test_a_great_many_runs_of_one_moment_take_no_longer_than_others(tmp_path: Path) -> None:
    rows = (
        f"5/4/2025,14:00,{1 + at / 1e5:.5f},{4 + at / 1e5:.5f},{6 + at / 1e5:.5f},\n" for at in range(20000)
    )
    con = duckdb.connect()
    limit = threading.Timer(20.0, con.interrupt)
    limit.start()
    ingested(write(tmp_path, {"garage.toml": LOGBOOK_GARAGE, "slips.csv": HEADING + "".join(rows)}), con)
    limit.cancel()
    assert con.execute("select count(*) from doubles").fetchall()[0] == (0,)


def test_runs_without_a_time_are_the_same_when_their_numbers_are() -> None:
    con = empty_store()
    rows = [
        row | {"has_time": False, "run_at": DAY + dt.timedelta(milliseconds=at)}
        for at, row in enumerate(slips(steady=5))
    ]
    put(con, "timeslips", [*rows, rows[2] | {"run_at": DAY + dt.timedelta(milliseconds=9)}])
    run_rules(con)
    assert con.execute("select row, same_row from doubles").fetchall() == [(7, 4)]


LETTERS = {"6.O61": "6.061", "x.O61": None, "6,O61": "6.061", "6.0bl": "6.061", "unclear": None}


@pytest.mark.parametrize(("text", "expected"), LETTERS.items())
def test_a_number_with_letters_is_read_by_the_rest_of_its_slip(text: str, expected: str | None) -> None:
    con = empty_store()
    put(con, "timeslips", slips({"t660_s": None}))
    con.execute(
        "insert into questions by name select 'timeslips.csv' as file, '' as sheet, $row as row, "
        "'t660_s' as column, $text as value, 'unreadable' as rule, 'questioned' as severity",
        {"row": FIRST, "text": text},
    )
    run_rules(con)
    assert asked(con) == [(FIRST, "t660_s", expected, "questioned", "unreadable")]


LENGTHS = {
    "typed twice, seen by its length": ({"t60_s": 1.4882}, [("t60_s", "1.482", "added_digit")]),
    "left out, and the rest tells": (
        {"t660_s": 6.61, "short_splits": 4},
        [("t660_s", "6.061", "dropped_digit")],
    ),
}


@pytest.mark.parametrize(("change", "expected"), LENGTHS.values(), ids=LENGTHS.keys())
def test_a_number_of_odd_length_is_asked_about(
    change: dict[str, Any], expected: list[tuple[str, str, str]]
) -> None:
    con = empty_store()
    rows = slips(SUSPECT | change)
    rows[5]["t60_s"] = 1.480  # the sheet keeps its last 0
    put(con, "timeslips", rows)
    run_rules(con)
    assert asked(con) == [(FIRST, column, said, "questioned", rule) for column, said, rule in expected]


@pytest.mark.parametrize(("change", "expected"), [
    ({"t660_s": 6.066}, [("t660_s", "6.060")]),
    ({"t60_s": 1.482, "t660_s": 6.061, "t1320_s": 9.444}, []),
], ids=["one time alone", "a slip of another strip"])  # fmt: skip
def test_a_time_in_thousandths_on_a_sheet_of_hundredths(
    change: dict[str, float], expected: list[tuple[str, str]]
) -> None:
    con = empty_store()
    rows = [
        {
            name: round(value, 2) if name[0] == "t" else value
            for name, value in row.items()
            if name != "t1000_s"
        }
        | {"short_splits": 31}
        for row in slips(steady=14)
    ]
    rows[6] |= {"t60_s": 1.48, "t330_s": 3.95, "t660_s": 6.06, "t1320_s": 9.44} | change
    put(con, "timeslips", rows)
    run_rules(con)
    assert [each[1:3] for each in asked(con)] == expected


COPIES = {
    "at another time": ({"run_at": DAY + dt.timedelta(hours=20)}, "time"),
    "with another reaction": ({"reaction_s": 0.091}, "reaction_s"),
}


@pytest.mark.parametrize(("change", "column"), COPIES.values(), ids=COPIES.keys())
def test_a_copied_slip_is_asked_about(change: dict[str, Any], column: str) -> None:
    con = empty_store()
    rows = [row | {"reaction_s": 0.08} for row in slips(steady=6)]
    put(con, "timeslips", [*rows, rows[2] | change])
    run_rules(con)
    assert asked(con) == [(8, column, "leave out row", "questioned", "copied_slip")]
    assert con.execute("select count(*) from doubles").fetchall()[0] == (0,)


def test_of_two_slips_alike_the_later_run_is_asked_about_where_the_newest_stands_on_top() -> None:
    con = empty_store()
    rows = [row | {"reaction_s": 0.08} for row in slips(steady=6)]
    rows[2] |= {name: rows[3][name] for name in rows[3] if name[0] in "tv"}
    put(
        con, "timeslips", [row | {"run_at": DAY + dt.timedelta(hours=20 - at)} for at, row in enumerate(rows)]
    )
    run_rules(con)
    assert [each[:2] for each in asked(con)] == [(4, "time")]


@pytest.mark.parametrize(("reaction", "expected"), [(0.08, [(4, "time")]), (0.081, [])])
def test_in_hundredths_a_copied_slip_has_the_same_reaction_too(reaction: float, expected: list[Any]) -> None:
    con = empty_store()
    rows = [
        {"t60_s": 1.48 + at / 100, "t660_s": 6.06 + at / 50, "t1320_s": 9.44 + at / 50,
         "v660_mph": 116.0 - at, "reaction_s": 0.06 + at / 100, "short_splits": 21,
         "run_at": DAY + dt.timedelta(hours=9 + at)}
        for at in (1, 2, 2, 3, 4, 5, 6)
    ]  # fmt: skip
    rows[2] |= {"run_at": DAY + dt.timedelta(hours=11, minutes=30), "reaction_s": reaction}
    put(con, "timeslips", rows)
    run_rules(con)
    assert [each[:2] for each in asked(con)] == expected


@pytest.mark.parametrize(("air", "twice"), [(76.0, 1), (77.0, 0)])
def test_without_a_time_the_same_numbers_in_other_air_are_a_copied_slip(air: float, twice: int) -> None:
    con = empty_store()
    rows = [row | {"has_time": False, "reaction_s": 0.08} for row in slips(steady=6)]
    put(con, "timeslips", [*rows, rows[5]], file="book.csv")
    weather = [{"read_at": row["run_at"], "air_temp_degf": 76.0, "sheet": "weather"} for row in rows]
    put(con, "weather", [*weather, weather[5] | {"air_temp_degf": air}], file="book.csv")
    run_rules(con)
    assert con.execute("select count(*) from doubles").fetchall()[0] == (twice,)
    assert [each[4] for each in asked(con)] == ["copied_slip"] * (1 - twice)


HUNDREDTHS = {
    "a lone cell in a sheet that keeps its zeros": (2, [(3, "t330_s", "3.950", "questioned", "hundredths")]),
    "the whole sheet has hundredths": (31, []),
}


@pytest.mark.parametrize(("others", "expected"), HUNDREDTHS.values(), ids=HUNDREDTHS.keys())
def test_hundredths(others: int, expected: list[tuple[Any, ...]]) -> None:
    con = empty_store()
    rows = slips(steady=12)
    rows[5]["t60_s"] = 1.480
    rows[1] |= {"t330_s": 3.95, "short_splits": 2}
    if others == 31:
        rows = [row | {"short_splits": 31} for row in rows]
    put(con, "timeslips", rows)
    run_rules(con)
    assert asked(con) == expected


REDS = {
    "the others are below none": ([(1, -0.021), (4, 0.034), (6, -0.012)], ["-0.034"]),
    "it is the only one": ([(4, 0.034)], ["-0.034"]),
    "who never writes the sign has the habit": ([(1, 0.021), (4, 0.034), (6, 0.012)], []),
    "counted from the last amber": ([(4, 0.482)], []),
}


@pytest.mark.parametrize(("reds", "expected"), REDS.values(), ids=REDS.keys())
def test_a_red_light_without_its_minus_sign(reds: list[tuple[int, float]], expected: list[str]) -> None:
    con = empty_store()
    rows = slips(steady=8)
    for at, reaction in reds:
        rows[at] |= {"outcome": "red light", "reaction_s": reaction}
    put(con, "timeslips", rows)
    run_rules(con)
    assert asked(con) == [(6, "reaction_s", said, "questioned", "reaction_sign") for said in expected]


UNNOTED = {
    "others below none are noted": ([1, 4], [6], [8]),
    "others below none have a word of their own": ([2], [6], [8]),
    "no red light is noted": ([], [6], []),
    "who seldom notes one": ([1], [3, 4, 6], []),
}


@pytest.mark.parametrize(("noted", "below", "expected"), UNNOTED.values(), ids=UNNOTED.keys())
def test_a_minus_sign_too_many(noted: list[int], below: list[int], expected: list[int]) -> None:
    con = empty_store()
    rows = [row | {"reaction_s": 0.05 + at / 100} for at, row in enumerate(slips(steady=8))]
    for at in noted:
        rows[at] |= {"reaction_s": -0.02} | ({"notes": "rosso"} if at == 2 else {"outcome": "red light"})
    for at in below:
        rows[at] |= {"reaction_s": -rows[at]["reaction_s"]}
    put(con, "timeslips", rows)
    run_rules(con)
    assert [(each[0], each[2], each[4]) for each in asked(con)] == [
        (row, f"{-rows[row - 2]['reaction_s']:.3f}", "reaction_sign") for row in expected
    ]


TYPED = {
    "with its zeros": ("slips.csv", "4.810", "4.180", "swapped_digits"),
    "with a figure less": ("slips.csv", "4.81", "4.181", "dropped_digit"),
    "in a workbook, which keeps no zeros": ("slips.xlsx", "4.81", "4.180", "swapped_digits"),
}


@pytest.mark.parametrize(("file", "text", "meant", "rule"), TYPED.values(), ids=TYPED.keys())
def test_zeros_at_the_end_tell_what_was_typed(file: str, text: str, meant: str, rule: str) -> None:
    con = empty_store()
    rows = slips(SUSPECT | {"t330_s": 4.18, "t660_s": 6.289, "t1000_s": 8.115, "t1320_s": 9.672})
    rows = [row | {"t330_s": round(row["t330_s"] + 0.228 * (at < 12), 3)} for at, row in enumerate(rows)]
    rows = [
        row | {name: round(row[name] + 0.228, 3) for name in ("t660_s", "t1000_s", "t1320_s")}
        if at < 12
        else row
        for at, row in enumerate(rows)
    ]
    rows[12]["t330_s"] = 4.81
    put(con, "timeslips", rows, file=file)
    con.execute(
        "insert into entries values ($file, '', $row, 't330_s', $text)",
        {"file": file, "row": FIRST, "text": text},
    )
    run_rules(con)
    assert asked(con) == [(FIRST, "t330_s", meant, "questioned", rule)]


@pytest.mark.parametrize(("reaction", "expected"), [(0.081, [(4, "time")]), (0.09, [])])
def test_of_three_numbers_alike_the_reaction_is_the_fourth(reaction: float, expected: list[Any]) -> None:
    con = empty_store()
    names = ("run_at", "t60_s", "t330_s", "t660_s")
    rows = [{name: row[name] for name in names} | {"reaction_s": 0.08} for row in slips(steady=6)]
    rows[1] |= {"reaction_s": 0.081}
    rows[2] = rows[1] | {"run_at": rows[2]["run_at"], "reaction_s": reaction}
    put(con, "timeslips", rows)
    run_rules(con)
    assert [each[:2] for each in asked(con)] == expected


@pytest.mark.parametrize(("t660_s", "expected"), [(6.261, []), (6.621, [(FIRST, "t660_s", "6.261")])])
def test_the_back_half_tells_a_wrong_eighth_after_a_poor_start(
    t660_s: float, expected: list[tuple[Any, ...]]
) -> None:
    con = empty_store()
    spun = {"outcome": "spun", "t60_s": 1.642, "t660_s": t660_s, "t1320_s": 9.644}
    rows = slips(SUSPECT | spun)
    for at, row in enumerate(rows[:12]):
        late = 0.05 * (at % 5)
        row |= {"t60_s": row["t60_s"] + late * 0.7, "t660_s": row["t660_s"] + late * 0.9}
        row |= {"t1320_s": row["t1320_s"] + late, "outcome": "spun" if at % 5 else None}
    put(con, "timeslips", [row | {"t330_s": None, "t1000_s": None} for row in rows])
    run_rules(con)
    assert [found[:3] for found in asked(con)] == expected
