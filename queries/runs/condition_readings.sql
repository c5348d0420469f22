-- Purpose: weather and track readings in one long table, each quantity by itself.
-- Grain: one row per venue, series and time; two readings at one time are averaged.
-- Series 'track' holds all lanes, 'track <lane>' one of them.
-- Reads: weather_values
create or replace temp table condition_readings as
with long as (
    unpivot (
        select
            venue,
            read_at,
            air_temp_degf as "air temp",
            station_pressure_inhg as "pressure",
            vapor_pressure_inhg as "vapor",
            headwind_mph as "headwind"
        from weather_values
    )
    on "air temp", "pressure", "vapor", "headwind"
    into name series value reading
    union all
    select venue, read_at, 'track', track_temp_degf from track
    where track_temp_degf is not null
    union all
    select venue, read_at, 'track ' || lower(lane), track_temp_degf from track
    where track_temp_degf is not null and lane is not null
)

select venue, series, read_at, avg(reading order by reading) as reading
from long
where venue is not null and read_at is not null
group by venue, series, read_at;
