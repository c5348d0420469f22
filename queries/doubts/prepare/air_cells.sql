-- Purpose: every reading of the air, and of the track on days on which it went up and down, one number a row.
-- Grain: one row per row of a sheet and column. Key: file, sheet, row, column.
-- Reads: typed_weather, typed_track, typed_timeslips
create or replace temp table air_cells as
with gunned as (
    select reading_id, file, sheet, row, venue, read_at, track_temp_degf
    from typed_track
    where read_at is not null and track_temp_degf is not null
    union all
    select slip_id, file, sheet, row, venue, run_at, track_temp_degf
    from typed_timeslips
    where has_time and track_temp_degf is not null
)

unpivot (
    select
        reading_id, file, sheet, row, venue, read_at, air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf
    from typed_weather
    where read_at is not null
)
on air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf
into name "column" value value
union all by name
select reading_id, file, sheet, row, venue, read_at, 'track_temp_degf' as "column", track_temp_degf as value
from gunned
where (venue, read_at::date) in (
    select (venue, read_at::date)
    from gunned
    group by venue, read_at::date
    having max(track_temp_degf) - min(track_temp_degf) > 15
);
