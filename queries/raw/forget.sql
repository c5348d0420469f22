-- Purpose: drop the rows of a sheet that has to be read again with care. Grain: rows of one sheet.
delete from rows_{{ of }}
where sheet_no = $sheet_no;
