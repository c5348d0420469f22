"""Records survive the trip to a DuckDB table and back unchanged, empty and null ones too."""

from dataclasses import dataclass

import duckdb
import pytest

from pipeline.decide.results import Forecast, NextSetting, SettingChoice
from pipeline.season.results import ChangePart, Period, SeasonChange, Wear
from pipeline.store.records import frame_of, records_of

PERIOD = Period("2031-04-02", "2031-06-20", 50, 1.412)
CHANGE = SeasonChange(
    "t60",
    "first third to last third",
    PERIOD,
    PERIOD,
    -0.02,
    (
        ChangePart("preload", "preload", -0.015, -0.02, -0.01),
        ChangePart("track", "the track", -0.005, -0.02, 0.01),
    ),
    0.0,
)
FORECAST = Forecast(None, 95.0, None, 29.1, 55.0, None, None, ("pressure from the last reading",))
STAY = SettingChoice({"preload": 3.0, "launch_rpm": 6200.0}, 1.4, 1.38, 1.42)
NEXT = NextSetting(
    "t60", FORECAST, STAY, None, 0.0, -0.01, 0.01, None, (), ("counterweight",), False, "Stay."
)
NO_WEAR = Wear(None, None, None, None, None, None, None, (), (), "No ring height was written down.")


@pytest.mark.parametrize("record", [PERIOD, CHANGE, NEXT, NO_WEAR], ids=lambda record: type(record).__name__)
def test_a_record_comes_back_equal_from_a_table(record: object) -> None:
    frame = frame_of(type(record), [record, record])
    with duckdb.connect() as con:
        con.register("incoming", frame)
        con.execute("create table kept as select * from incoming")
        back = records_of(type(record), con.table("kept").pl())
    assert back == (record, record)


def test_no_records_still_make_a_typed_table() -> None:
    frame = frame_of(SeasonChange, [])
    assert frame.height == 0
    assert frame.schema["total_s"].is_float()


def test_an_unknown_hint_is_named() -> None:
    @dataclass(frozen=True)
    class Odd:
        thing: set

    with pytest.raises(TypeError, match="set"):
        frame_of(Odd, [])
