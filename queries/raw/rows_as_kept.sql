-- Purpose: the rows of one {{ of }} sheet as they were read before. Grain: one row per row of the sheet.
insert into rows_{{ of }} by name
select * exclude (mark) replace ($sheet_no::integer as sheet_no)
from kept_rows_{{ of }}
where mark = $mark;
