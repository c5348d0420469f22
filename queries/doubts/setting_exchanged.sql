-- Reason: a setting that the car had for one run (or one change) only, and that with two of its figures exchanged is
--         what it had before and after: 6500 among 5600s. Nobody goes so far and comes back by just such a step. The
--         setting it comes back to may lie beyond (5500, 5500, 5050, 5800).
-- Severity: questioned. Suggests: the figures exchanged back.
-- Reads: settings, swapped, typed_timeslips, written
-- Needs: settings or typed_timeslips
-- Yields to: doubles_differ, setting_off_step, setting_out_of_reach, setting_point_moved, turns_past_limit
insert into findings
with slip_values as (
    unpivot (
        select slip_id, file, sheet, row, car, run_at, launch_rpm, preload_turns, counterweight_g from typed_timeslips
    )
    on launch_rpm, preload_turns, counterweight_g
    into name "column" value value
),

entries as (
    select
        file, sheet, row, "column", value, lag(value) over by_car as before, lead(value) over by_car as after,
        lag(value, 2) over by_car as before_2, lead(value, 2) over by_car as after_2
    from slip_values
    window by_car as (partition by car, "column" order by run_at, slip_id)
    union all
    select file, sheet, row, "column", value, value_before, value_after, null, null
    from settings
    where "column" in ('launch_rpm', 'preload_turns', 'counterweight_g')
),

judged as (
    select
        *,
        case
            when before = after then before
            when before = before_2 and before between least(value, after) and greatest(value, after) then before
            when after = after_2 and after between least(value, before) and greatest(value, before) then after
        end as meant
    from entries
)

select
    file, sheet, row, "column", written(value),
    'Two figures look exchanged: ' || written(meant) || ' stands beside it.',
    written(meant), 'questioned', 'setting_exchanged'
from judged
where value <> meant and list_contains(swapped(value, if("column" = 'launch_rpm', 0, 2)), meant);
