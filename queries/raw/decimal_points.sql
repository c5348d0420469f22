-- Purpose: how many plain numbers with a decimal point each sheet holds. Grain: one row per sheet.
-- A time of day written as 9.21 is none. Long sheets, whose cells are not laid out, count by their slips' 60 ft times.
select sheets.sheet_no, count(*)::bigint as points
from entries
inner join current_sheets as sheets using (file, sheet)
where
    entries."column" not in ('date', 'time') and regexp_full_match(trim(entries."value"), '[+-]?[0-9]*[.][0-9]+')
group by sheets.sheet_no
union all
select rows_timeslips.sheet_no, count(*)::bigint as points
from rows_timeslips
inner join current_sheets as sheets using (sheet_no)
where sheets."rows" > 20000 and rows_timeslips.t60_s is not null
group by rows_timeslips.sheet_no;
