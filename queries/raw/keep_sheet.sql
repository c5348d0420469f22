-- Purpose: note a current sheet. Grain: one row.
insert into current_sheets
values ($sheet_no, $file, $sheet, $kind, $version_id, $rows, $heading_row, $headings);
