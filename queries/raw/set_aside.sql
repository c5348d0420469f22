-- Purpose: set aside what is no data: headings and what stands above them (never past row 41),
-- headings repeated, blank rows and totals. Grain: rows of rows_{{ of }}.
update rows_{{ of }}
set set_aside = no_data(rows_{{ of }}."row", sheets.heading_row, rows_{{ of }}.undated, sheets.headings)
from current_sheets as sheets
where
    (rows_{{ of }}."row" <= 41 or rows_{{ of }}.undated is not null)
    and rows_{{ of }}.sheet_no = sheets.sheet_no
    and (rows_{{ of }}."row" <= sheets.heading_row or rows_{{ of }}.undated is not null);
