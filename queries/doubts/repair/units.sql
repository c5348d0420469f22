-- Purpose: how the numbers of those slips were turned into the units of the store, where they were.
-- Grain: one row per slip and number so turned.
select s.slip_id, c."column", c.factor, c.shift
from suspects as s
join sheet_columns as c using (file, sheet)
where c."column" in (select "column" from slip_columns) and (c.factor <> 1 or c.shift <> 0);
