-- Purpose: what the careful reading made of the odd cells. Grain: one row per cell that was read.
-- Reads the table careful_readings, one row per sheet, column and text.
create or replace temp table mended_cells as
select
    odd_cells.sheet_no,
    odd_cells."row",
    odd_cells."column",
    careful_readings.number,
    careful_readings.several,
    careful_readings."day",
    careful_readings.clock_s
from odd_cells
inner join careful_readings using (sheet_no, "column", "text")
where careful_readings.number is not null or careful_readings."day" is not null
    or careful_readings.clock_s is not null;
