-- Purpose: keep the asked cells of long sheets as typed. Grain: one row per cell.
insert into entries
select file, sheet, "row", "column", "value"
from asked_entries;
