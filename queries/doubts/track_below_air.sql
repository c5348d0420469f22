-- Reason: around a sunny noon the surface is warmer than the air. Under cloud, in shade or after rain it
--         need not be, so this only asks for a second look.
-- Severity: doubt (the value is kept). Suggests: nothing.
-- Reads: typed_timeslips, typed_track, typed_weather, written
-- Needs: typed_weather
-- Yields to: out_of_range
insert into findings
with noon_air as (
    select venue, read_at, air_temp_degf
    from typed_weather
    where read_at::time between time '09:30:00' and time '17:00:00' and air_temp_degf between 46 and {{ columns.weather.air_temp_degf.high }}
),

warmest as (
    select venue, read_at::date as "day", max(air_temp_degf) as air_temp_degf from noon_air group by all
),

noon_track as (
    select file, sheet, row, venue, read_at as at_time, track_temp_degf
    from typed_track
    where read_at::time between time '10:30:00' and time '16:00:00'
    union all
    select file, sheet, row, venue, run_at, track_temp_degf
    from typed_timeslips
    where track_temp_degf < 110 and has_time and run_at::time between time '10:30:00' and time '16:00:00'
),

cool as (
    select t.*
    from noon_track as t
    join warmest as w on w.venue is not distinct from t.venue and w."day" = t.at_time::date
    where t.track_temp_degf < w.air_temp_degf - 2
),

beside as (
    select
        t.file, t.sheet, t.row, t.track_temp_degf,
        arg_min(a.air_temp_degf, abs(epoch(a.read_at - t.at_time)) + if(a.read_at > t.at_time, 0.5, 0)) as air_temp_degf
    from cool as t
    join noon_air as a on a.venue is not distinct from t.venue and a.read_at::date = t.at_time::date
    group by all
)

select
    file, sheet, row, 'track_temp_degf', written(track_temp_degf),
    'Below the air (' || written(air_temp_degf) || ' degF) around noon. Fine under cloud or after rain.',
    null, 'doubt', 'track_below_air'
from beside
where track_temp_degf < air_temp_degf - 2;
