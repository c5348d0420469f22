-- Purpose: settings from setup sheets and odd ones from slips, beside the limits and what is usual; nearest
--          is the setting to compare with (the change before, else the one after, else the usual).
-- Grain: one row per sheet row and setting. Key: file, sheet, row, column.
create or replace temp table judged_settings as
select
    s.file, s.sheet, s.row, s.car, s."column", s.value,
    coalesce(s.value_before, s.value_after, s.usual) as nearest,
    s.value_after, s.usual, s.times, l.* exclude (car), null::double as w_rpm
from settings as s
left join given_limits as l using (car)
union all by name
select
    s.file, s.sheet, s.row, s.car, s."column", s.value, s.usual as nearest, s.usual, 6 as times, s.w_rpm,
    l.* exclude (car)
from slip_settings as s
left join given_limits as l using (car)
where s.value is not null;
