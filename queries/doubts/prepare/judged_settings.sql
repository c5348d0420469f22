-- Purpose: settings from setup sheets and odd ones from slips, beside the limits and what is usual; nearest
--          is the setting to compare with (the change before, else the one after, else the usual), width the
--          spread of the car's slips.
-- Grain: one row per sheet row and setting. Key: file, sheet, row, column.
-- Reads: given_limits, settings, slip_settings
-- Needs: settings or slip_settings
create or replace temp table judged_settings as
select
    s.file, s.sheet, s.row, s.car, s."column", s.value,
    coalesce(s.value_before, s.value_after, s.usual) as nearest,
    s.value_after, s.usual, s.times, l.low, l.high, l.levers, null::double as width
from settings as s
left join given_limits as l using (car, "column")
union all by name
select
    s.file, s.sheet, s.row, s.car, s."column", s.value, s.usual as nearest, s.usual, 6 as times, s.width,
    l.low, l.high, l.levers
from slip_settings as s
left join given_limits as l using (car, "column")
where s.value is not null;
