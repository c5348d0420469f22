-- Reason: a temperature under a degC heading that no such day has; as degF it lies among the others of its sheet.
-- Severity: questioned. Suggests: the number as typed, in degF, or its figures exchanged, whichever lies nearer.
-- Reads: swapped, typed_timeslips, typed_track, typed_weather, written
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
        r.*, s.factor, s.shift, (degf - s.shift) / s.factor as number,
        case
            when count(*) over on_day >= 3 then median(degf) over on_day
            when count(*) over in_sheet >= 5 then median(degf) over in_sheet
            else median(degf) over (partition by file, "column")
        end as middle
    from readings as r
    join sheets as s using (file, sheet, "column")
    where degf is not null
    window on_day as (partition by file, sheet, "column", "day"), in_sheet as (partition by file, sheet, "column")
),

exchanged as (
    select
        *,
        list_sort(list_transform(
            swapped(number, if(number = round(number), 0, 1)),
            lambda other: {'far': abs(other * factor + shift - middle), 'degf': other * factor + shift}
        ))[1] as nearest
    from typed
)

select
    file, sheet, row, "column", written(degf),
    written(number) || ' degC does not fit the others of this sheet; it looks like '
    || if(nearest.far < abs(number - middle), 'two figures exchanged.', 'degF.'),
    written(if(nearest.far < abs(number - middle), nearest.degf, number)), 'questioned', 'fahrenheit'
from exchanged
where degf - middle > 35 and abs(number - middle) < least(0.7 * (degf - middle), 45);
