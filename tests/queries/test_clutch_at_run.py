from __future__ import annotations

import pytest

from pipeline.physics.clutch import centrifugal_load
from pipeline.physics.constants import GRAM_KG, INCH_M, POUND_FORCE_N
from tests.queries.given import EIGHT_SCREW, at, runs_of, store

CLOCKS = [f"{hour:02}:00" for hour in range(10, 16)]
SET = {"set_at": at("08:00"), "preload_turns": 3.0, "counterweight_g": 6.0, "launch_rpm": 6000.0}
SET_LB = 300.0 + 8 * 6.0 * 3.0


def slips(*clocks: str) -> list[dict[str, object]]:
    return [{"run_at": at(clock)} for clock in clocks]


def check(clock: str, height: float | None, **more: object) -> dict[str, object]:
    return {"checked_at": at(clock), "ring_height_in": height, **more}


def test_ring_height_is_straight_over_runs_not_days() -> None:
    days = ["10:00", "10:30", "20 10:00", "20 11:00"]
    con = store(timeslips=slips(*days), checks=[check("09:00", 2.150), check("21 09:00", 2.158)])
    heights = [row[0] for row in runs_of(con, "ring_height_in")]
    assert heights == pytest.approx([2.150, 2.152, 2.154, 2.156])


def test_preload_falls_with_the_growth_since_it_was_set() -> None:
    con = store(
        timeslips=slips(*CLOCKS[:4]), setups=[SET], checks=[check("07:00", 2.150), check("20:00", 2.158)]
    )
    rows = runs_of(con, "wear_in, preload_lb, service_no, runs_since_service")
    assert [row[0] for row in rows] == pytest.approx([0.0, 0.002, 0.004, 0.006], abs=1e-12)
    assert [row[1] for row in rows] == pytest.approx([SET_LB - 8 * 150 * w for w in (0, 0.002, 0.004, 0.006)])
    assert [row[2:] for row in rows] == [(0, 0), (0, 1), (0, 2), (0, 3)]


def test_growth_may_tighten_another_construction() -> None:
    con = store(
        garage={"clutches": [{**EIGHT_SCREW, "growth_effect": "more load"}]},
        timeslips=slips(*CLOCKS[:2]), setups=[SET], checks=[check("07:00", 2.150), check("20:00", 2.160)],
    )  # fmt: skip
    assert [row[0] for row in runs_of(con, "preload_lb")] == pytest.approx([SET_LB, SET_LB + 6.0])


def test_a_change_of_turns_does_not_undo_the_wear() -> None:
    con = store(
        timeslips=slips(*CLOCKS[:4]),
        setups=[SET, {"set_at": at("11:30"), "preload_turns": 4.0}],
        checks=[check("07:00", 2.150), check("20:00", 2.158)],
    )
    rows = runs_of(con, "wear_in, preload_lb")
    assert [row[0] for row in rows] == pytest.approx([0.0, 0.002, 0.004, 0.006], abs=1e-12)
    assert rows[2][1] == pytest.approx(SET_LB + 8 * 6.0 - 1200 * 0.004)


def test_wear_counts_from_when_the_preload_was_first_set() -> None:
    con = store(
        timeslips=slips(*CLOCKS[:4]),
        setups=[{**SET, "set_at": at("11:30")}],
        checks=[check("07:00", 2.150), check("20:00", 2.158)],
    )
    wear = [row[0] for row in runs_of(con, "wear_in")]
    assert wear == pytest.approx([-0.004, -0.002, 0.0, 0.002], abs=1e-12)


def test_a_service_restarts_the_ring_height() -> None:
    con = store(
        timeslips=slips(*CLOCKS),
        setups=[SET],
        checks=[
            check("07:00", 2.150),
            check("12:30", 2.151, shim_removed_in=0.005),
            check("20:00", 2.154),
        ],
    )
    rows = runs_of(con, "ring_height_in, service_no, runs_since_service, preload_lb")
    heights = [2.150, 2.152, 2.154, 2.151, 2.152, 2.153]  # 2.156 before the shim of 0.005 came out
    assert [row[0] for row in rows] == pytest.approx(heights)
    assert [row[1:3] for row in rows] == [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2)]
    # The springs feel the ring height itself: the shim gives back what the wear took.
    assert [row[3] for row in rows] == pytest.approx([SET_LB - 1200 * (h - 2.150) for h in heights])


def test_a_check_and_a_service_on_one_day_without_times_keep_their_order() -> None:
    day = at("03 00:00")
    con = store(
        timeslips=[*slips(*CLOCKS[:2]), *({"run_at": at(f"04 {clock}")} for clock in CLOCKS[:2])],
        checks=[
            check("07:00", 2.150),
            {"checked_at": day, "ring_height_in": 2.150, "shim_removed_in": 0.010, "entry_order": 6},
            {"checked_at": day, "ring_height_in": 2.160, "entry_order": 5},
        ],
    )
    rows = runs_of(con, "service_no, ring_height_in")
    assert [row[0] for row in rows] == [0, 0, 1, 1]
    assert [row[1] for row in rows] == pytest.approx([2.150, 2.155, 2.150, 2.155])


def test_a_check_that_speaks_of_work_is_a_service_when_the_ring_went_down() -> None:
    words = [check("07:00", 2.158), check("10:30", 2.150, notes="New disc in"), check("20:00", 2.151)]
    con = store(timeslips=slips(*CLOCKS[:2]), checks=words)
    assert runs_of(con, "service_no, ring_height_in") == [(0, 2.158), (1, 2.15)]


def test_a_check_that_speaks_of_work_with_no_drop_is_only_a_check() -> None:
    con = store(
        timeslips=slips(*CLOCKS[:2]),
        checks=[check("07:00", 2.150), check("10:30", 2.151, notes="service soon")],
    )
    assert [row[0] for row in runs_of(con, "service_no")] == [0, 0]


def test_beyond_the_last_check_the_ring_grows_as_before() -> None:
    con = store(timeslips=slips(*CLOCKS), checks=[check("07:00", 2.150), check("12:30", 2.153)])
    heights = [row[0] for row in runs_of(con, "ring_height_in")]
    assert heights == pytest.approx([2.150, 2.151, 2.152, 2.153, 2.154, 2.155])


def test_before_the_first_check_it_had_grown_as_after() -> None:
    con = store(timeslips=slips(*CLOCKS[:4]), checks=[check("11:30", 2.152), check("20:00", 2.154)])
    heights = [row[0] for row in runs_of(con, "ring_height_in")]
    assert heights == pytest.approx([2.150, 2.151, 2.152, 2.153])


def test_one_check_alone_says_nothing_of_growth() -> None:
    con = store(timeslips=slips(*CLOCKS[:2]), setups=[SET], checks=[check("07:00", 2.150)])
    assert runs_of(con, "ring_height_in, wear_in, preload_lb") == [(2.15, 0.0, SET_LB)] * 2


def test_without_checks_the_preload_is_the_one_that_was_set() -> None:
    con = store(timeslips=slips("10:00"), setups=[SET])
    assert runs_of(con, "ring_height_in, wear_in, preload_lb") == [(None, None, SET_LB)]


def test_turns_known_from_slips_only_count_from_the_first_such_run() -> None:
    turns = [3.0, 3.0, 4.0, 4.0]
    con = store(
        timeslips=[{**slip, "preload_turns": t} for slip, t in zip(slips(*CLOCKS[:4]), turns, strict=True)],
        checks=[check("07:00", 2.150), check("20:00", 2.158)],
    )
    wear = [row[0] for row in runs_of(con, "wear_in")]
    assert wear == pytest.approx([0.0, 0.002, 0.004, 0.006], abs=1e-12)


def test_plate_load_is_static_and_centrifugal() -> None:
    con = store(timeslips=slips("10:00"), setups=[SET])
    static, centrifugal, load = runs_of(con, "preload_lb, centrifugal_lb, plate_load_lb")[0]
    expected = centrifugal_load(6, 30 * GRAM_KG, 6 * GRAM_KG, 3.5 * INCH_M, 6000.0, 1.0) / POUND_FORCE_N
    assert centrifugal == pytest.approx(expected, rel=1e-9)
    assert load == pytest.approx(static + centrifugal)


LACKING = [
    ({"lever_ratio": None}, (True, False, False)),
    ({"base_load_lb": None}, (False, True, False)),
    ({"spring_rate_lb_per_in": None}, (True, True, True)),
    ({"springs": None}, (True, True, True)),
]


@pytest.mark.parametrize(("clutch", "known"), LACKING)
def test_a_load_without_its_line_in_the_garage_is_missing(
    clutch: dict[str, object], known: tuple[bool, ...]
) -> None:
    con = store(
        garage={"clutches": [{**EIGHT_SCREW, **clutch}]},
        timeslips=slips(*CLOCKS[:2]), setups=[SET], checks=[check("07:00", 2.150), check("20:00", 2.154)],
    )  # fmt: skip
    last = runs_of(con, "preload_lb, centrifugal_lb, plate_load_lb")[-1]
    assert tuple(value is not None for value in last) == known


def test_a_loose_spring_does_not_pull() -> None:
    con = store(
        garage={"clutches": [{**EIGHT_SCREW, "base_load_lb": 0.0, "load_per_turn_lb": 0.1}]},
        timeslips=slips(*CLOCKS[:2]), setups=[SET], checks=[check("07:00", 2.150), check("20:00", 2.190)],
    )  # fmt: skip
    assert runs_of(con, "preload_lb")[-1] == (0.0,)
