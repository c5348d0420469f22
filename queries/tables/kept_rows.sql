-- Purpose: the rows of {{ of }} sheets as they were read, before anything about them was settled, so that a sheet
--          that has not changed is not read again. mark tells what they were made of.
-- Grain: one row per row of a sheet. Key: mark, row.
create or replace table kept_rows_{{ of }} as
select '' as mark, *
from rows_{{ of }}
limit 0;
