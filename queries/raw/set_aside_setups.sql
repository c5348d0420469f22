-- Purpose: set aside what is no data: headings and what stands above them (never past row 41),
-- headings repeated, blank rows and totals. Grain: rows of rows_setups.
update rows_setups
set set_aside = no_data(rows_setups."row", sheets.heading_row, rows_setups.undated, sheets.headings)
from current_sheets as sheets
where
    (rows_setups."row" <= 41 or rows_setups.undated is not null)
    and rows_setups.sheet_no = sheets.sheet_no
    and (rows_setups."row" <= sheets.heading_row or rows_setups.undated is not null);
