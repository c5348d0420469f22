"""Sheets in Thai: years of the Buddhist calendar, times with their word, groups above units."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

GARAGE = 'units = "metric"\n\n[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\n'
GROUPED = (
    "วันที่,เวลา,ผล,201 ม.,,100 ม.,18 ม.,ออกตัว,เลน,คลัตช์,,\n"
    ",,,วินาที,กม./ชม.,วินาที,วินาที,วินาที,,รอบเครื่อง,พรีโหลด (รอบ),ถ่วง (กรัม)\n"
    "24/1/2574,14.15 น.,ล้อฟรี,6.461,183.4,3.977,1.437,0.115,ขวา,6600,2 1/4,5.1\n"
    "24/1/2574,15.17 น.,ดี,6.296,188.8,3.944,1.421,0.148,ซ้าย,6600,2,5.1\n"
    "5/2/2574,16.07 น.,ไฟแดง,6.071,190.7,3.938,1.422,-0.023,ขวา,6500,2,5.1\n"
    "5/2/74,16.59 น.,รอบตก,6.098,189.9,3.950,1.426,0.053,ซ้าย,6500,2,5.2\n"
    "6/2/74,11.36 น.,ยกคันเร่ง,6.049,181.2,3.929,1.415,0.138,ขวา,6400,2,5.2\n"
)
IN_ONE_LINE = "วันที่,เวลา,เลน,18 ม.,201 ม.,ความเร็ว กม./ชม.,รอบเครื่อง\n" + "".join(
    f"{day} ม.ค. 2574,1{day}:05,ซ้าย,1.44{day},6.12{day},180.{day},6400\n" for day in range(3, 8)
)


def test_groups_above_units_in_thai(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.csv": GROUPED}))
    days = [f"{at:%Y-%m-%d %H:%M}" for at in column(con, "timeslips", "run_at")]
    assert days == [
        "2031-01-24 14:15",
        "2031-01-24 15:17",
        "2031-02-05 16:07",
        "2031-02-05 16:59",
        "2031-02-06 11:36",
    ]
    assert column(con, "timeslips", "outcome") == ["spun", "clean", "red light", "bogged", "lifted"]
    assert column(con, "timeslips", "lane")[:2] == ["right", "left"]
    assert column(con, "timeslips", "reaction_s", "t60_s", "t660_s", "launch_rpm")[0] == (
        0.115,
        1.437,
        6.461,
        6600,
    )
    assert column(con, "timeslips", "v660_mph")[0] == pytest.approx(183.4 / 1.609344)
    assert column(con, "timeslips", "preload_turns", "counterweight_g")[0] == (2.25, 5.1)


def test_months_in_thai(tmp_path: Path) -> None:
    con, _ = ingested(write(tmp_path, {"garage.toml": GARAGE, "log.csv": IN_ONE_LINE}))
    assert next(f"{at:%Y-%m-%d}" for at in column(con, "timeslips", "run_at")) == "2031-01-03"
    assert column(con, "timeslips", "launch_rpm", "t60_s")[4] == (6400, 1.447)
