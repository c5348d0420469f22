-- Purpose: set aside what is no data: headings and what stands above them (never past row 41),
-- headings repeated, blank rows and totals. Grain: rows of rows_track.
update rows_track
set set_aside = no_data(rows_track."row", sheets.heading_row, rows_track.undated, sheets.headings)
from current_sheets as sheets
where
    (rows_track."row" <= 41 or rows_track.undated is not null)
    and rows_track.sheet_no = sheets.sheet_no
    and (rows_track."row" <= sheets.heading_row or rows_track.undated is not null);
