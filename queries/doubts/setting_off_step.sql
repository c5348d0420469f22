-- Reason: turns are set in eighths and launch rpm in fifties; here nearly every other entry is, and this is not. The mean
--         of screws written one by one is no entry.
-- Severity: questioned. Suggests: nothing; what stands above or below may be meant.
-- Reads: typed_setups, typed_timeslips, written
-- Needs: typed_setups or typed_timeslips
-- Yields to: doubles_differ, setting_out_of_reach, turns_below_none, turns_past_limit
insert into findings
with entries as (
    select file, sheet, row, car, preload_turns, 0 as screws, launch_rpm from typed_timeslips
    union all
    select file, sheet, row, car, preload_turns, len(preload_screws) as screws, launch_rpm from typed_setups
),

judged as (
    select
        file, sheet, row, car, preload_turns, launch_rpm,
        abs(preload_turns * 8 - round(preload_turns * 8)) > 1e-6
        and coalesce(screws, 0) = 0 as turns_are_off,
        abs(launch_rpm / 50 - round(launch_rpm / 50)) > 1e-6 as rpm_is_off
    from entries
    where preload_turns is not null or launch_rpm is not null
),

cars as (
    select
        car,
        count(turns_are_off) >= 10 and avg(turns_are_off::int) <= 0.12 as keeps_turns,
        count(rpm_is_off) >= 10 and avg(rpm_is_off::int) <= 0.12 as keeps_rpm
    from judged
    group by car
)

select
    file, sheet, row, off."column", written(off.value),
    'Nearly every other entry is in ' || off.says || '; this is not.', null, 'questioned', 'setting_off_step'
from judged as j
join cars as c on c.car is not distinct from j.car
cross join lateral (
    values
        ('preload_turns', preload_turns, turns_are_off and keeps_turns, 'eighths of a turn'),
        ('launch_rpm', launch_rpm, rpm_is_off and keeps_rpm, 'fifties')
) as off ("column", value, is_off, says)
where off.is_off;
