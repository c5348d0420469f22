-- Purpose: every day that stands in a sheet, with the two days before and after it in the order of entry and
--          how many other sheets know the day. What stands on one row (a slip with its air) is one sheet.
-- Grain: one row per kind, file, sheet and day. Key: the same.
-- Reads: typed_checks, typed_setups, typed_timeslips, typed_track, typed_weather
create or replace temp table days as
with found as (
{% for table in sheets %}
    select '{{ table.name }}' as kind, file, sheet, {{ table.moment }}::date as "day", {{ table.key }} as entry
    from typed_{{ table.name }}
    {{ 'union all' if not loop.last }}
{% endfor %}
),

grouped as (
    select
        kind, file, sheet, regexp_replace(sheet, '(, table [0-9]+)?((^|, )(lines, )?(weather|setups|track|checks))?$', '') as own_sheet, "day", count(*) as entries, min(entry) as first_entry, max(entry) as last_entry
    from found
    where "day" is not null
    group by all
),

placed as (
    select
        *,
        lag("day") over sheet_order as day_before,
        lead("day") over sheet_order as day_after,
        list_filter(
            [lag("day", 2) over sheet_order, lag("day") over sheet_order], lambda other: other is not null
        ) as days_before,
        list_filter(
            [lead("day") over sheet_order, lead("day", 2) over sheet_order], lambda other: other is not null
        ) as days_after,
        (count(distinct file || chr(31) || own_sheet) over (partition by "day")) - 1 as others,
        greatest(entries, sum(entries) over same_day - entries) >= 3 and count(*) over same_day > 1 as is_whole_day
    from grouped
    window
        sheet_order as (partition by kind, file, sheet order by first_entry),
        same_day as (partition by file, own_sheet, "day")
)

select
    *,
    avg((day_before <= "day")::int) over by_sheet >= 0.7
    or (count(*) over by_sheet >= 3 and count(*) filter (day_before > "day") over by_sheet <= 1) as is_in_order
from placed
window by_sheet as (partition by kind, file, sheet);
