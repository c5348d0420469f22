-- Purpose: on which sheets some spellings of cars or strips stand. Grain: one row per spelling and sheet.
select distinct "text", sheet_no
from (
    select 'car' as "column", car as "text", sheet_no from rows_timeslips where set_aside is null
    union all
    select 'car', car, sheet_no from rows_setups where set_aside is null
    union all
    select 'car', car, sheet_no from rows_checks where set_aside is null
    union all
    select 'venue', venue, sheet_no from rows_timeslips where set_aside is null
    union all
    select 'venue', venue, sheet_no from rows_weather where set_aside is null
    union all
    select 'venue', venue, sheet_no from rows_track where set_aside is null
)
where "column" = $column and list_contains($texts, "text");
