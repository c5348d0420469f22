-- Purpose: set aside what is no data: headings and what stands above them (never past row 41),
-- headings repeated, blank rows and totals. Grain: rows of rows_checks.
update rows_checks
set set_aside = no_data(rows_checks."row", sheets.heading_row, rows_checks.undated, sheets.headings)
from current_sheets as sheets
where
    (rows_checks."row" <= 41 or rows_checks.undated is not null)
    and rows_checks.sheet_no = sheets.sheet_no
    and (rows_checks."row" <= sheets.heading_row or rows_checks.undated is not null);
