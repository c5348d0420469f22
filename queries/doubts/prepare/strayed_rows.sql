-- Purpose: the rows that stand under a day which is better read as another. A day that parts another from itself is
--          read as that, whatever else it may be.
-- Grain: one row per row. Key: file, sheet, row.
-- Reads: day_readings, misplaced_days, typed_checks, typed_setups, typed_timeslips, typed_track, typed_weather
create or replace temp table strayed_rows as
with dated as (
{% for table in sheets %}
    select '{{ table.name }}' as kind, file, sheet, row, {{ table.moment }}::date as "day"
    from typed_{{ table.name }}
    where {{ table.moment }}::date in (select "day" from day_readings)
    {{ 'union all' if not loop.last }}
{% endfor %}
)

select dated.*, r.rule, r.meant
from dated
join day_readings as r using (kind, file, sheet, "day")
where (kind, file, sheet, row) not in (select (kind, file, sheet, row) from misplaced_days where is_parted)
union all
select kind, file, sheet, row, "day", rule, meant
from misplaced_days
where is_parted or (kind, file, sheet, "day") not in (select (kind, file, sheet, "day") from day_readings);
