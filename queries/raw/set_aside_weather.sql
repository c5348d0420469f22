-- Purpose: set aside what is no data: headings and what stands above them (never past row 41),
-- headings repeated, blank rows and totals. Grain: rows of rows_weather.
update rows_weather
set set_aside = no_data(rows_weather."row", sheets.heading_row, rows_weather.undated, sheets.headings)
from current_sheets as sheets
where
    (rows_weather."row" <= 41 or rows_weather.undated is not null)
    and rows_weather.sheet_no = sheets.sheet_no
    and (rows_weather."row" <= sheets.heading_row or rows_weather.undated is not null);
