-- Reason: a temperature under a degC heading that no such day has; as degF it lies among the others of its sheet.
-- Severity: questioned. Suggests: the number as typed, in degF.
-- Reads: typed_timeslips, typed_track, typed_weather, written
-- Yields to: doubles_differ
insert into findings
with sheets as (
    select file, sheet, "column", factor, shift
    from sheet_columns
    where factor between 1.79 and 1.81 and "column" in ('air_temp_degf', 'track_temp_degf')
),

readings as (
    select file, sheet, row, 'air_temp_degf' as "column", air_temp_degf as degf, read_at::date as "day" from typed_weather
    union all
    select file, sheet, row, 'track_temp_degf', track_temp_degf, read_at::date from typed_track
    union all
    select file, sheet, row, 'track_temp_degf', track_temp_degf, run_at::date from typed_timeslips
),

typed as (
    select
        r.*, (degf - shift) / factor as number,
        if(count(*) over on_day >= 3, median(degf) over on_day, median(degf) over (partition by file, sheet, "column")) as middle
    from readings as r
    join sheets as s using (file, sheet, "column")
    where degf is not null
    window on_day as (partition by file, sheet, "column", "day")
)

select
    file, sheet, row, "column", written(degf, null),
    written(number, null) || ' degC does not fit the others of this sheet; it looks like degF.',
    written(number, null), 'questioned', 'fahrenheit'
from typed
where degf - middle > 35 and abs(number - middle) < least(0.7 * (degf - middle), 45);
