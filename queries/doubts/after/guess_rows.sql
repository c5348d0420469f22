-- Purpose: the rows around entries that are to be guessed, with their day, time and numbers.
-- Grain: one row per row. Key: kind, file, sheet, row.
-- Reads: guessable, typed_setups, typed_timeslips, typed_track, typed_weather
with spans as (
    select file, sheet, min("row") - $reach as first_row, max("row") + $reach as last_row
    from guessable
    group by file, sheet
),

rows_of as (
    select
        file, sheet, "row", run_at as moment, has_time, coalesce(venue, car) as "where", track_temp_degf,
        {{ adjustments | listed }}
    from typed_timeslips
    union all by name
    select
        file, sheet, "row", read_at as moment, venue as "where", air_temp_degf, pressure_inhg, humidity_pct,
        dew_point_degf, grains
    from typed_weather
    union all by name
    select file, sheet, "row", read_at as moment, venue as "where", track_temp_degf from typed_track
    union all by name
    select file, sheet, "row", set_at as moment, car as "where", {{ adjustments | listed }} from typed_setups
)

select
    rows_of.* exclude (moment, has_time),
    moment::date as "day",
    if(coalesce(has_time, moment > moment::date), epoch(moment - moment::date::timestamp), null)::integer as clock
from rows_of
join spans on spans.file = rows_of.file and spans.sheet = rows_of.sheet
where rows_of."row" between first_row and last_row;
