-- Purpose: how many records of a sheet were read. Grain: one row.
select count(*) as records
from rows_{{ of }}
where sheet_no = $sheet_no;
