-- Purpose: give the records of a sheet their lines, where record and line are known to be the same.
-- Rows keep the order of the file, so a record's line is its distance from the sheet's first row.
-- Grain: rows of one sheet.
update rows_{{ of }}
set "row" = rowid - (
    select min(sheet_rows.rowid)
    from rows_{{ of }} as sheet_rows
    where sheet_rows.sheet_no = $sheet_no
) + 1
where sheet_no = $sheet_no;
