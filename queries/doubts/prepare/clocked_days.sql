-- Purpose: the days on which some time of day lies so far from the others that twelve hours earlier or later
--          would be nearer.
-- Grain: one row per day. Key: day.
-- Reads: typed_timeslips, typed_track, typed_weather
create or replace temp table clocked_days as
with clocks as (
    select
        run_at::date as "day", count(*) as clocks, sum(epoch(run_at - run_at::date::timestamp)) as seconds,
        min(run_at) as first_at, max(run_at) as last_at
    from typed_timeslips
    where has_time
    group by all
    union all
    select read_at::date, 1, epoch(read_at - read_at::date::timestamp), read_at, read_at from typed_weather
    union all
    select read_at::date, 1, epoch(read_at - read_at::date::timestamp), read_at, read_at from typed_track
),

spans as (
    select
        "day", sum(seconds) / sum(clocks) / 3600 as middle, if(sum(clocks) >= 12, 5.9, 4.5) as far,
        epoch(min(first_at) - "day"::timestamp) / 3600 as first_hour,
        epoch(max(last_at) - "day"::timestamp) / 3600 as last_hour
    from clocks
    where "day" is not null
    group by "day"
)

select "day"
from spans
where last_hour - middle > far or middle - first_hour > far or first_hour < 5.5;
