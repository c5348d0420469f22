-- Purpose: each distinct text for the careful reading. Grain: one row per sheet, column and text.
select sheet_no, "column", "text", count(*)::bigint as times
from odd_cells
group by sheet_no, "column", "text"
order by sheet_no, "column", "text";
