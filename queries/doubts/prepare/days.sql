-- Purpose: every day that stands in a sheet, with the day before and after it in the order of entry and
--          how many other sheets know the day.
-- Grain: one row per kind, file, sheet and day. Key: the same.
create or replace temp table days as
with found as (
    select 'timeslips' as kind, file, sheet, run_at::date as "day", slip_id as entry from typed_timeslips
    union all
    select 'weather', file, sheet, read_at::date, reading_id from typed_weather
    union all
    select 'track', file, sheet, read_at::date, reading_id from typed_track
    union all
    select 'setups', file, sheet, set_at::date, setup_id from typed_setups
    union all
    select 'checks', file, sheet, checked_at::date, check_id from typed_checks
),

grouped as (
    select kind, file, sheet, "day", count(*) as entries, min(entry) as first_entry, max(entry) as last_entry
    from found
    where "day" is not null
    group by all
),

placed as (
    select
        *,
        lag("day") over sheet_order as day_before,
        lead("day") over sheet_order as day_after,
        (count(*) over (partition by "day")) - 1 as others
    from grouped
    window sheet_order as (partition by kind, file, sheet order by first_entry)
)

select
    *,
    avg((day_before <= "day")::int) over by_sheet >= 0.7
    or (count(*) over by_sheet >= 3 and count(*) filter (day_before > "day") over by_sheet <= 1) as is_in_order
from placed
window by_sheet as (partition by kind, file, sheet);
