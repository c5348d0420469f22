-- Reason: twelve hours earlier or later the time would lie among the others of its day and in the order
--         of its sheet; as written it does not.
-- Severity: questioned. Suggests: the time twelve hours away.
-- Reads: clock_text, clocked_rows
-- Needs: clocked_rows
-- Yields to: day_and_month_swapped
insert into findings
with middles as (
    select "day", venue, median(hour_of_day) as middle, count(*) as clocks
    from clocked_rows
    group by "day", venue
),

judged as (
    select
        r.*, m.middle,
        if(r.hour_of_day < 12, r.hour_of_day + 12, r.hour_of_day - 12) as other_hour,
        coalesce(r.hour_of_day < r.hour_before - 0.2 or r.hour_of_day > r.hour_after + 0.2, false) as is_disorder,
        coalesce(
            if(r.hour_of_day < 12, r.hour_of_day + 12, r.hour_of_day - 12)
            between r.hour_before - 0.2 and r.hour_after + 0.2,
            if(r.hour_of_day < 12, r.hour_of_day + 12, r.hour_of_day - 12)
            between coalesce(r.hour_before - 0.2, 0) and coalesce(r.hour_after + 0.2, 24)
        ) as is_mended
    from clocked_rows as r
    join middles as m on m."day" = r."day" and m.venue is not distinct from r.venue
    where m.clocks >= 3
)

select
    file, sheet, row, 'time', clock_text(hour_of_day),
    'Morning and afternoon look swapped: the rest of that day lies around ' || clock_text(middle) || '.',
    clock_text(other_hour), 'questioned', 'am_pm_slip'
from judged
where
    abs(hour_of_day - middle) > abs(other_hour - middle)
    and (
        (is_disorder and is_mended and abs(hour_of_day - middle) > 4)
        or (abs(hour_of_day - middle) > 8 and abs(other_hour - middle) < 4 and not coalesce(not is_disorder and hour_before is not null and hour_after is not null, false))
        or hour_of_day < 5.5
    );
