-- Purpose: keep the cells of one sheet as typed. Grain: one row per cell.
insert into entries
select $file, $sheet, "row", "column", "value"
from sheet_entries;
