"""Times of a twelve-hour clock without am or pm: read as afternoons where the sheet shows it."""

import pytest

from tests.ingest.logbooks import column, slips_of

HEADING = "date,time,60 ft,330 ft\n"


def hours(tmp_path, *clocks):
    rows = "".join(f"2031-04-05,{clock},1.4{at:02},4.1\n" for at, clock in enumerate(clocks, start=40))
    con, _ = slips_of(tmp_path, HEADING + rows)
    return [at.strftime("%H:%M") for at in column(con, "timeslips", "run_at")]


def test_a_day_that_goes_on_past_noon(tmp_path):
    found = hours(tmp_path, "10:33", "12:34", "1:22", "4:09", "7:10", "9:45")
    assert found == ["10:33", "12:34", "13:22", "16:09", "19:10", "21:45"]


def test_the_newest_run_first(tmp_path):
    assert hours(tmp_path, "9:05", "6:10", "3:40", "11:20") == ["21:05", "18:10", "15:40", "11:20"]


def test_nothing_but_an_afternoon(tmp_path):
    assert hours(tmp_path, "1:22", "2:40", "4:09") == ["13:22", "14:40", "16:09"]


@pytest.mark.parametrize(
    "clocks",
    [
        ("22:40", "23:50", "1:10"),
        ("0:20", "1:10", "2:30"),
        ("1:22 am", "2:40 am", "1:30 pm"),
        ("6:10", "7:30", "9:00"),
    ],
    ids=["a night meet", "from midnight on", "said", "a morning"],
)
def test_what_says_otherwise_stays(tmp_path, clocks):
    assert hours(tmp_path, *clocks)[:2] == [clock.split()[0].rjust(5, "0") for clock in clocks[:2]]


def test_it_is_said_of_the_column(tmp_path):
    con, _ = slips_of(tmp_path, HEADING + "2031-04-05,1:22,1.444,4.1\n2031-04-05,2:22,1.445,4.1\n")
    whys = dict(con.execute('select "column", why from sheet_columns').fetchall())
    assert "afternoon" in whys["time"]
