-- Purpose: how many records of a sheet were read. Grain: one row.
select count(*) as records
from rows_checks
where sheet_no = $sheet_no;
