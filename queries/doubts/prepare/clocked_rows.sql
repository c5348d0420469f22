-- Purpose: the rows of those days that have a time, with the hour of the rows before and after.
-- Grain: one row per row. Key: kind, file, sheet, row.
-- Reads: clocked_days, typed_timeslips, typed_track, typed_weather
-- Needs: clocked_days
create or replace temp table clocked_rows as
with rows_of as (
    select 'timeslips' as kind, file, sheet, row, car as who, venue, slip_id as entry, run_at as clock
    from typed_timeslips
    where has_time and run_at::date in (select "day" from clocked_days)
    union all
    select 'weather', file, sheet, row, venue, venue, reading_id, read_at
    from typed_weather
    where read_at::date in (select "day" from clocked_days) and read_at::time <> time '12:00:00'
    union all
    select 'track', file, sheet, row, concat_ws('|', venue, lane), venue, reading_id, read_at
    from typed_track
    where read_at::date in (select "day" from clocked_days) and read_at::time <> time '12:00:00'
)

select
    * exclude (clock),
    clock::date as "day",
    epoch(clock - clock::date::timestamp) / 3600 as hour_of_day,
    lag(epoch(clock - clock::date::timestamp) / 3600) over in_sheet as hour_before,
    lead(epoch(clock - clock::date::timestamp) / 3600) over in_sheet as hour_after
from rows_of
window in_sheet as (partition by kind, file, sheet, who, clock::date order by entry);
