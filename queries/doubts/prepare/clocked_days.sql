-- Purpose: the days on which the times of day do not lie together: over nine hours from first to last, or
--          something before half past six in the morning.
-- Grain: one row per day. Key: day.
create or replace temp table clocked_days as
with clocks as (
    select run_at::date as "day", min(run_at) as first_at, max(run_at) as last_at
    from typed_timeslips
    where has_time
    group by all
    union all
    select read_at::date, read_at, read_at from typed_weather
    union all
    select read_at::date, read_at, read_at from typed_track
)

select "day"
from clocks
where "day" is not null
group by "day"
having max(last_at) - min(first_at) > interval 9 hours or min(first_at) < "day" + interval 390 minutes;
