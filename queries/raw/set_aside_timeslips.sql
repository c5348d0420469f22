-- Purpose: set aside what is no data: headings and what stands above them (never past row 41),
-- headings repeated, blank rows and totals. Grain: rows of rows_timeslips.
update rows_timeslips
set set_aside = no_data(rows_timeslips."row", sheets.heading_row, rows_timeslips.undated, sheets.headings)
from current_sheets as sheets
where
    (rows_timeslips."row" <= 41 or rows_timeslips.undated is not null)
    and rows_timeslips.sheet_no = sheets.sheet_no
    and (rows_timeslips."row" <= sheets.heading_row or rows_timeslips.undated is not null);
