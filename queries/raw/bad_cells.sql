-- Purpose: the odd cells that the careful reading has something to say about.
-- Grain: one row per cell.
insert into bad_cells by name
select
    odd_cells.file,
    odd_cells.sheet,
    odd_cells."row",
    if(odd_cells."column" = 'spill', 'notes', odd_cells."column") as "column",
    trim(odd_cells."text") as "value",
    careful_readings.problem,
    careful_readings.suggestion,
    if(
        odd_cells."column" = 'date' and not coalesce(undated_rows.is_measured, true),
        'rejected',
        careful_readings.severity
    ) as severity
from odd_cells
inner join careful_readings using (sheet_no, "column", "text")
left join undated_rows
    on odd_cells.sheet_no = undated_rows.sheet_no and odd_cells."row" = undated_rows."row"
where careful_readings.problem <> '';
