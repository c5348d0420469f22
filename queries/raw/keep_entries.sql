-- Purpose: keep the cells of sheets as typed. Grain: one row per cell.
insert into entries by name
from sheet_entries;
