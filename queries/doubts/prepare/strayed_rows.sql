-- Purpose: the rows that stand under a day which is better read as another.
-- Grain: one row per row. Key: file, sheet, row.
create or replace temp table strayed_rows as
with dated as (
    select 'timeslips' as kind, file, sheet, row, run_at::date as "day" from typed_timeslips
    where run_at::date in (select "day" from day_readings)
    union all
    select 'weather', file, sheet, row, read_at::date from typed_weather
    union all
    select 'track', file, sheet, row, read_at::date from typed_track
    union all
    select 'setups', file, sheet, row, set_at::date from typed_setups
    union all
    select 'checks', file, sheet, row, checked_at::date from typed_checks
)

select dated.*, r.rule, r.meant
from dated
join day_readings as r using (kind, file, sheet, "day");
