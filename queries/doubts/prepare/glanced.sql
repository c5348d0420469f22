-- Purpose: one quick look at every slip: those four widths from the car's usual in any tie, or with a number
--          missing and the ties around the gap as far off. A little too many rather than too few.
-- Grain: one row per such slip. Key: slip_id.
-- Reads: odd_slip_cells, slip_usual, typed_timeslips
-- Needs: typed_timeslips
create or replace temp table glanced as
select s.* exclude (event, round, lane, notes, extras)
from typed_timeslips as s
join slip_usual as u on u.car is not distinct from s.car
where
{% for number in timeslips.of_role('ticket') if number.unit == 's' %}
    s.{{ number.name }} > {{ number.high }} or
{% endfor %}
    abs(s.t60_s - m_60) > 4 * w_60
    or abs(s.t330_s - s.t60_s - m_330 * s.t60_s) > 4 * w_330 * s.t60_s
    or abs(s.t660_s - s.t330_s - m_660 * (s.t330_s - s.t60_s)) > 4 * w_660 * (s.t330_s - s.t60_s)
    or abs(s.t1000_s - s.t660_s - m_1000 * (s.t660_s - s.t330_s)) > 4 * w_1000 * (s.t660_s - s.t330_s)
    or abs(s.t1320_s - s.t1000_s - m_1320 * (s.t1000_s - s.t660_s)) > 4 * w_1320 * (s.t1000_s - s.t660_s)
    or abs(s.v660_mph * (s.t660_s - s.t330_s) - 225.0 * m_trap660) > 900.0 * w_trap660
    or abs(s.v1320_mph * (s.t1320_s - s.t1000_s) - 218.2 * m_trap1320) > 872.8 * w_trap1320
    or (
        (t60_s is null or t330_s is null or t660_s is null or v660_mph is null or t1000_s is null or t1320_s is null)
        and (
            abs(s.t660_s - s.t60_s - m_early * s.t60_s) > 4 * w_early * s.t60_s
            or abs(s.t1320_s - s.t660_s - m_half * s.t660_s) > 4 * w_half * s.t660_s
            or abs(s.v660_mph * s.t660_s - 450.0 * m_pass660) > 1800.0 * w_pass660
            or abs(s.v1320_mph * s.t1320_s - 900.0 * m_pass1320) > 3600.0 * w_pass1320
            or abs((s.v660_mph + s.v1320_mph) * (s.t1320_s - s.t660_s) - 900.0 * m_back) > 3600.0 * w_back
            or abs(s.v1320_mph - m_speeds * s.v660_mph) > 4 * w_speeds * s.v660_mph
            or abs(s.v660_mph - m_v660) > 4 * w_v660 or abs(s.v1320_mph - m_v1320) > 4 * w_v1320
            or s.t660_s <= s.t60_s or s.t1000_s <= s.t330_s or s.t1320_s <= s.t660_s or s.t1000_s <= s.t60_s
            or s.t1320_s <= s.t330_s or (s.t60_s is null and s.reaction_s > {{ columns.timeslips.t60_s.low }})
{% for number in timeslips.of_role('ticket') %}
            or s.{{ number.name }} not between {{ number.low }} and {{ number.high }}
{% endfor %}
        )
    )
    or s.slip_id in (select slip_id from odd_slip_cells);
