-- Purpose: how far each row is from what is usual for its car: squared distances in widths, summed and the
--          worst. After the split where a run was spoiled they count 1/36, a spun or bogged start 1/16:
--          an honest bad run is not a slip of the pen.
--          Beside it, whether the row cannot be at all: splits that do not rise, a number no slip can hold,
--          a section no car is so quick over, a trap speed far from the section before it.
-- Grain: table macro over any table with car, outcome, lifted_after_ft, reaction_s and the seven numbers.
-- Key: that of the table.
-- Reads: away, slip_features, slip_usual
create or replace temp macro slip_misfit(slips) as table
with judged as (
    select
        f.*,
        u.runs as car_runs,
        away(f_60, m_60, w_60) * if(bad_start, 0.0625, 1) as z_60,
        away(f_v660, m_v660, w_v660) * if(good_ft < 660, 0.028, 1) as z_v660,
        away(f_v1320, m_v1320, w_v1320) * if(good_ft < 1320, 0.028, 1) as z_v1320,
        away(f_330, m_330, w_330)
        * if(bad_start, 0.0625, if(good_ft < 330, 0.028, 1)) as z_330,
        away(f_early, m_early, w_early)
        * if(bad_start, 0.0625, if(good_ft < 660, 0.028, 1)) as z_early,
        away(f_660, m_660, w_660)
        * if(bad_start, 0.25, if(good_ft < 660, 0.028, 1)) as z_660,
        away(f_trap660, m_trap660, w_trap660) * if(good_ft < 660, 0.028, 1) as z_trap660,
        away(f_pass660, m_pass660, w_pass660)
        * if(bad_start, 0.0625, if(good_ft < 660, 0.028, 1)) as z_pass660,
        away(f_1000, m_1000, w_1000) * if(good_ft < 1000, 0.028, 1) as z_1000,
        away(f_1320, m_1320, w_1320) * if(good_ft < 1320, 0.028, 1) as z_1320,
        away(f_half, m_half, w_half)
        * if(bad_start, 0.0625, if(good_ft < 1320, 0.028, 1)) as z_half,
        away(f_trap1320, m_trap1320, w_trap1320) * if(good_ft < 1320, 0.028, 1) as z_trap1320,
        away(f_pass1320, m_pass1320, w_pass1320)
        * if(bad_start, 0.0625, if(good_ft < 1320, 0.028, 1)) as z_pass1320,
        away(f_speeds, m_speeds, w_speeds) * if(good_ft < 1320, 0.028, 1) as z_speeds,
        away(f_back, m_back, w_back) * if(good_ft < 1320, 0.028, 1) as z_back,
        f_speeds < 1 and coalesce(away(f_1320, m_1320, w_1320), away(f_half, m_half, w_half)) < 16 as slows_in_no_time
    from slip_features(slips) as f
    join slip_usual as u on u.car is not distinct from f.car
)

select
    * exclude (
        z_60, z_v660, z_v1320, z_330, z_early, z_660, z_trap660, z_pass660, z_1000, z_1320, z_half, z_trap1320,
        z_pass1320, z_speeds, z_back, slows_in_no_time
    ),
    coalesce(z_60, 0) + coalesce(z_v660, 0) + coalesce(z_v1320, 0) + coalesce(z_330, 0) + coalesce(z_early, 0) + coalesce(z_660, 0) + coalesce(z_trap660, 0)
    + coalesce(z_pass660, 0) + coalesce(z_1000, 0) + coalesce(z_1320, 0) + coalesce(z_half, 0)
    + coalesce(z_trap1320, 0) + coalesce(z_pass1320, 0) + coalesce(z_speeds, 0) + coalesce(z_back, 0) as misfit,
    greatest(
        z_60, z_v660, z_v1320, z_330, z_early, z_660, z_trap660, z_pass660, z_1000, z_1320, z_half, z_trap1320, z_pass1320, z_speeds,
        z_back
    ) as worst,
    coalesce(
        t330_s <= t60_s or t660_s <= greatest(t60_s, t330_s) or t1000_s <= greatest(t60_s, t330_s, t660_s)
        or t1320_s <= greatest(t60_s, t330_s, t660_s, t1000_s)
{% for number in timeslips.of_role('ticket') %}
        or {{ number.name }} not between {{ number.low }} and {{ number.high }}
{% endfor %}
        or (t60_s is null and reaction_s between {{ columns.timeslips.t60_s.low }} and {{ columns.timeslips.t60_s.high }})
        or f_330 not between 0.9 and if(good_ft < 330, 20, 4)
        or f_trap660 > if(good_ft < 660, 2.0, 1.4) or f_trap1320 > if(good_ft < 1320, 2.0, 1.4)
        or f_pass660 > 2.1 or f_pass1320 > 1.95
        or slows_in_no_time  -- the speed falls on the second half, and the time does not rise
        or (
            good_ft = 1320
            and (
                f_660 < 0.6 or f_1000 < 0.62 or f_1320 < 0.62 or f_trap660 not between 0.7 and 1.35
                or f_trap1320 not between 0.6 and 1.2
            )
        ),
        false
    ) as is_impossible
from judged;
