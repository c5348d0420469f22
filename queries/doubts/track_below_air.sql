-- Reason: around a sunny noon the surface is warmer than the air. Under cloud, in shade or after rain it
--         need not be, so this only asks for a second look.
-- Severity: doubt (the value is kept). Suggests: nothing.
insert into findings
with noon_air as (
    select venue, read_at::date as "day", min(air_temp_degf) as air_temp_degf
    from typed_weather
    where read_at::time between time '10:00:00' and time '17:00:00' and air_temp_degf between 46 and 130
    group by all
),

noon_track as (
    select file, sheet, row, venue, read_at as at_time, track_temp_degf
    from typed_track
    where read_at::time between time '10:30:00' and time '16:00:00'
    union all
    select file, sheet, row, venue, run_at, track_temp_degf
    from typed_timeslips
    where track_temp_degf < 110 and has_time and run_at::time between time '10:30:00' and time '16:00:00'
)

select
    t.file, t.sheet, t.row, 'track_temp_degf', written(t.track_temp_degf, null),
    'Below the air (' || written(a.air_temp_degf, null) || ' degF) around noon. Fine under cloud or after rain.',
    null, 'doubt', 'track_below_air'
from noon_track as t
join noon_air as a on a.venue is not distinct from t.venue and a."day" = t.at_time::date
where t.track_temp_degf < a.air_temp_degf - 2;
