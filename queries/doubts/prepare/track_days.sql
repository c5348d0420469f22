-- Purpose: low track temperatures (all that a reading in degC can be) with the other track readings of
--          the same strip and day, and of the weeks around.
-- Grain: one row per low reading of a track sheet or a slip. Key: file, sheet, row.
-- Reads: typed_timeslips, typed_track, typed_weather
create or replace temp table track_days as
with low as (
    select file, sheet, row, venue, read_at as at_time, track_temp_degf from typed_track where track_temp_degf < 72
    union all
    select file, sheet, row, venue, run_at, track_temp_degf from typed_timeslips where track_temp_degf < 72
),

by_day as (
    select venue, at_time::date as "day", median(track_temp_degf) as middle, count(*) as readings
    from (
        select venue, read_at as at_time, track_temp_degf from typed_track
        union all
        select venue, run_at, track_temp_degf
        from typed_timeslips
        where track_temp_degf is not null and exists (select 1 from low)
    )
    where track_temp_degf is not null
    group by all
)

select
    low.*,
    b.middle as same_day_degf,
    b.readings,
    (
        select median(o.middle)
        from by_day as o
        where o."day" between low.at_time::date - 45 and low.at_time::date + 45 and o."day" <> low.at_time::date
    ) as season_degf,
    (
        select min(w.air_temp_degf)
        from typed_weather as w
        where w.venue is not distinct from low.venue and w.read_at::date = low.at_time::date and w.air_temp_degf > 46
    ) as air_degf
from low
left join by_day as b on b.venue is not distinct from low.venue and b."day" = low.at_time::date;
