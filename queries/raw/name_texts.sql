-- Purpose: every spelling of a name or set word, the frequent first. Grain: one row per column and spelling.
with slip_names as (
    select car, venue, lane, count(*) as times
    from rows_timeslips
    where set_aside is null
    group by car, venue, lane
)

select "column", "text", sum(times)::bigint as times
from (
    select 'car' as "column", car as "text", sum(times) as times
    from slip_names
    where car is not null
    group by car
    union all
    select 'car' as "column", car as "text", count(*) as times
    from rows_setups
    where set_aside is null and car is not null
    group by car
    union all
    select 'car' as "column", car as "text", count(*) as times
    from rows_checks
    where set_aside is null and car is not null
    group by car
    union all
    select 'venue' as "column", venue as "text", sum(times) as times
    from slip_names
    where venue is not null
    group by venue
    union all
    select 'venue' as "column", venue as "text", count(*) as times
    from rows_weather
    where set_aside is null and venue is not null
    group by venue
    union all
    select 'venue' as "column", venue as "text", count(*) as times
    from rows_track
    where set_aside is null and venue is not null
    group by venue
    union all
    select 'lane' as "column", lane as "text", sum(times) as times
    from slip_names
    where lane is not null
    group by lane
    union all
    select 'lane' as "column", lane as "text", count(*) as times
    from rows_track
    where set_aside is null and lane is not null
    group by lane
    union all
    select 'pressure_kind' as "column", pressure_kind as "text", count(*) as times
    from rows_weather
    where set_aside is null and pressure_kind is not null
    group by pressure_kind
)
group by "column", "text"
order by "column", times desc, "text";
