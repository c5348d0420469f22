-- Reason: in a file whose runs stand in the order of the day this time does not: whole hours more or less, or two digits
--         put back, and it does. The first of a day, or its last, is judged by the two beside it.
-- Severity: questioned. Suggests: the time that lies between those above and below.
-- Reads: clock_text, typed_timeslips
-- Needs: typed_timeslips
-- Yields to: am_pm_slip
insert into findings
with timed as (
    select
        file, sheet, row, car, run_at::date as "day", slip_id,
        (epoch(run_at - run_at::date::timestamp) / 60)::integer as minute_of_day,
        count(*) over (partition by car, run_at) as at_once
    from typed_timeslips
    where has_time
),

steps as (
    select
        *,
        lag(minute_of_day) over in_sheet as above,
        lead(minute_of_day) over in_sheet as below,
        lag(minute_of_day, 2) over in_sheet as above_that,
        lead(minute_of_day, 2) over in_sheet as below_that
    from timed
    window in_sheet as (partition by file, sheet, car, "day" order by slip_id)
),

files as (
    select file, avg(sign(minute_of_day - above)) as direction
    from steps
    group by file
    having count(above) >= 6 and abs(avg(sign(minute_of_day - above))) between 0.6 and 0.9999
),

turned as (
    select
        s.*,
        if(direction > 0, above, below) as before,
        if(direction > 0, below, above) as after,
        if(direction > 0, above_that, below_that) as before_that,
        if(direction > 0, below_that, above_that) as after_that
    from steps as s
    join files using (file)
),

odd as (
    select
        *,
        coalesce(before, 5 * 60) as earliest,
        coalesce(after, 24 * 60) as latest
    from turned
    where
        ((minute_of_day < before or minute_of_day > after) and before < after)
        or (at_once = 1 and before is null and after < after_that and minute_of_day > after_that)
        or (at_once = 1 and after is null and before > before_that and minute_of_day < before_that)
),

mended as (
    select
        *,
        list_distinct(list_filter(
            list_transform(range(1, 24), lambda hour: hour * 60 + minute_of_day % 60)
            || [
                minute_of_day // 60 * 60 + minute_of_day % 10 * 10 + minute_of_day % 60 // 10,
                minute_of_day // 60 % 10 * 600 + minute_of_day // 600 * 60 + minute_of_day % 60
            ],
            lambda meant: meant between earliest + 2 and latest - 2
        )) as possible
    from odd
),

-- Of two beside each other one is wrong: the one that can be mended; where both can, the one that has less far to go.
ranked as (
    select
        *,
        list_sort(list_transform(
            possible,
            lambda meant: {
                'far': abs(meant - if(before is null, after, if(after is null, before, minute_of_day))), 'meant': meant
            }
        ))[1] as best
    from mended
    where len(possible) > 0
)

select
    file, sheet, row, 'time', clock_text(minute_of_day / 60.0),
    'It stands out of order: ' || concat_ws(
        ' and ', clock_text(before / 60.0) || ' before', clock_text(after / 60.0) || ' after'
    ) || '.',
    clock_text(best.meant / 60.0), 'questioned', 'clock_out_of_order'
from ranked
qualify row_number() over (
    partition by file, sheet, car, "day"
    order by len(possible), best.far, slip_id
) = 1;
