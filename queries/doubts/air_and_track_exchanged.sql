-- Reason: an air temperature above the track's on one row, where hardly any other row of the book has it so; the two
--         exchanged, each lies among the others of its column.
-- Severity: questioned. Suggests: the two exchanged.
-- Reads: typed_timeslips, typed_track, typed_weather, written
-- Needs: typed_weather
-- Yields to: celsius, fahrenheit, out_of_range
insert into findings
with tracks as (
    select file, sheet, row, read_at as moment, track_temp_degf from typed_track where track_temp_degf is not null
    union all
    select file, sheet, row, run_at, track_temp_degf from typed_timeslips where track_temp_degf is not null
),

pairs as (
    select
        a.file, a.sheet as air_sheet, t.sheet as track_sheet, a.row, a.air_temp_degf as air, t.track_temp_degf as track,
        count(*) over everywhere as pairs,
        count(*) filter (where a.air_temp_degf > t.track_temp_degf) over everywhere as turned,
        quantile_cont(a.air_temp_degf, [0.05, 0.95]) over everywhere as airs,
        quantile_cont(t.track_temp_degf, [0.05, 0.95]) over everywhere as surfaces
    from typed_weather as a
    join tracks as t on t.file = a.file and t.row = a.row and t.moment = a.read_at
    where a.air_temp_degf is not null
    window everywhere as (partition by a.file)
),

odd as (
    select *
    from pairs
    where air >= track + 7 and pairs >= 6 and turned <= greatest(1, 0.1 * pairs)
        and track between airs[1] - 5 and airs[2] + 5 and air between surfaces[1] - 5 and surfaces[2] + 5
)

select
    file, each.sheet, row, each."column", written(each.value),
    'Air and track look exchanged: nearly every other row has the track warmer.', written(each.meant), 'questioned',
    'air_and_track_exchanged'
from odd
cross join lateral (
    values (air_sheet, 'air_temp_degf', air, track), (track_sheet, 'track_temp_degf', track, air)
) as each (sheet, "column", value, meant);
