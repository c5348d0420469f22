-- Purpose: each quantity written on a weather or track sheet, with the row it stands on.
-- Grain: one row per reading of a sheet and series. A view: whoever reads it takes the columns they need.
-- Series 'track' holds all lanes, 'track <lane>' one of them.
-- Reads: weather_values
create or replace temp view reading_entries as
with long as (
    unpivot (
        select
            reading_id,
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
)

select 'weather' as kind, reading_id, venue, series, read_at, reading from long
union all
select 'track', reading_id, venue, 'track', read_at, track_temp_degf from track
where track_temp_degf is not null
union all
select 'track', reading_id, venue, 'track ' || lower(lane), read_at, track_temp_degf from track
where track_temp_degf is not null and lane is not null;
