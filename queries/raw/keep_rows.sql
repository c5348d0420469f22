-- Purpose: keep the rows of one {{ of }} sheet as just read. Grain: one row per row of the sheet.
insert into kept_rows_{{ of }} by name
select $mark as mark, *
from rows_{{ of }}
where sheet_no = $sheet_no;
