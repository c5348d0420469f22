-- Reason: a setting that one run or one change alone has, six steps of the car or more from what it had before and after;
--         a figure put right brings it back to one of the two. A step is the middle of the car's changes. Nobody goes so
--         far and comes back by just a slip of the pen.
-- Severity: questioned. Suggests: the setting before or after that a figure left out, typed twice, wrong or exchanged
--           makes of it.
-- Reads: digit, settings, swapped, typed_timeslips, typed_twice, written
-- Needs: settings or typed_timeslips
-- Yields to: counterweight_total, doubles_differ, setting_exchanged, setting_off_step, setting_out_of_reach, setting_point_moved, turns_past_limit
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
        file, sheet, row, car, "column", value, lag(value) over by_car as before, lead(value) over by_car as after
    from slip_values
    window by_car as (partition by car, "column" order by run_at, slip_id)
    union all
    select file, sheet, row, car, "column", value, value_before, value_after
    from settings
    where "column" in ('launch_rpm', 'preload_turns', 'counterweight_g')
),

least ("column", step, decimals) as (
    values ('launch_rpm', 100.0, 0), ('preload_turns', 0.25, 2), ('counterweight_g', 0.3, 2)
),

steps as (
    select car, "column", median(abs(value - before)) as step
    from entries
    where value <> before
    group by car, "column"
    having count(*) >= 3
),

leaps as (
    select e.*, l.decimals, greatest(s.step, l.step) as step
    from entries as e
    join steps as s on s.car is not distinct from e.car and s."column" = e."column"
    join least as l on l."column" = e."column"
    where abs(e.before - e.after) <= 2 * greatest(s.step, l.step)
        and least(abs(e.value - e.before), abs(e.value - e.after)) >= 6 * greatest(s.step, l.step)
),

mended as (
    select
        *,
        list_filter(
            list_concat(
                swapped(value, decimals), typed_twice(value), [value * 10, value / 10],
                flatten(list_transform(range(-decimals, 5), lambda place: list_transform(
                    range(0, 10), lambda other: value + (other - digit(round(value * 100)::bigint, place + 2)) * 10.0 ** place
                )))
            ),
            lambda reading: least(abs(reading - before), abs(reading - after)) < 1e-6
        ) as possible
    from leaps
)

select
    file, sheet, row, "column", written(value),
    'It stands alone between ' || written(before) || ' and ' || written(after) || '.',
    written(list_sort(list_transform(possible, lambda reading: {'far': abs(reading - before), 'reading': reading}))[1].reading),
    'questioned', 'setting_leap'
from mended
where len(possible) > 0;
