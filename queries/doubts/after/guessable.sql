-- Purpose: entries under question, as typed, for which the rows around may tell what was meant.
-- Grain: one row per question. Key: file, sheet, row, column.
-- Reads: questions
create or replace temp table guessable as
select file, sheet, "row", "column", "value", suggestion, rule
from questions
where
    severity <> 'doubt' and "value" <> '' and "column" <> 'heading'
    and (
        (rule = 'unreadable' and suggestion is null and not contains("value", 'same as above'))
        or rule in ('out_of_range', 'setting_out_of_reach', 'turns_past_limit', 'counterweight_total', 'turns_below_none', 'setting_off_step')
        or (rule = 'weather_leap' and suggestion is null)
    )
    and "column" in (
        'date', 'time', 'air_temp_degf', 'pressure_inhg', 'humidity_pct', 'dew_point_degf', 'grains', 'track_temp_degf',
        {{ adjustments | quoted }}
    )
order by file, sheet, "row", "column"
limit $most;
