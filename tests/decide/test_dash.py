"""The dash sheet: inside the limits, on whole rpm, lower on a hot track, at the clutch as set now."""

from functools import cache

from pipeline.decide.dash import dash_sheet
from pipeline.decide.limits import car_limits
from pipeline.garage.logbook import Garage
from pipeline.season.in_force import present_settings
from pipeline.season.response_fit import fit_response
from tests.decide.decision_worlds import GARAGE
from tests.season.seasons import FACTS, Truth, season


@cache
def fitted():
    return fit_response(season(2, truth=Truth(rpm_curve=0.002)), FACTS)


def sheet(low=4500, high=7400, **now):
    parts = GARAGE.model_dump(by_alias=True, exclude_none=True)
    parts["car"][0]["launch_rpm_limits"] = [low, high]
    fit = fitted()
    present = present_settings(fit.runs, None, ["shock_clicks"]) | now
    return dash_sheet(fit, car_limits(Garage.model_validate(parts), "Marigold", fit.runs), present)


def test_rows_rise_by_five_degrees_on_whole_fifties():
    rows = sheet()
    assert all(row.launch_rpm % 50 == 0 for row in rows)
    temps = [row.track_temp_f for row in rows]
    assert temps == [temps[0] + 5 * k for k in range(len(temps))]
    assert all(row.low_rpm <= row.launch_rpm <= row.high_rpm for row in rows)


def test_hotter_is_lower():
    rows = [row for row in sheet() if row.supported]
    assert rows[0].launch_rpm > rows[-1].launch_rpm
    assert any(row.supported for row in rows)


def test_limits_bound_it_and_a_best_at_the_end_is_not_vouched_for():
    rows = sheet(low=6010, high=6240)
    assert {row.launch_rpm for row in rows} <= {6050.0, 6100.0, 6150.0, 6200.0}
    assert all(row.low_rpm >= 6050 and row.high_rpm <= 6200 for row in rows)
    ends = [row for row in rows if row.launch_rpm in {6050.0, 6200.0}]
    assert ends
    assert not any(row.supported for row in ends)
    assert {row.edge for row in ends} == {"limit"}


def test_limits_without_any_tried_rpm_or_no_limit_at_all_give_no_sheet():
    assert sheet(low=7100, high=7400) == ()
    fit = fitted()
    assert dash_sheet(fit, car_limits(Garage.model_validate({}), "Marigold", fit.runs), {}) == ()


def test_the_clutch_as_set_now_matters():
    # The season's true best does not depend on the clutch, but its model allows that it might.
    soft, hard = sheet(preload=2.0, counterweight=2.0), sheet(preload=4.0, counterweight=7.0)
    assert [row.track_temp_f for row in soft] == [row.track_temp_f for row in hard]
    assert soft != hard
