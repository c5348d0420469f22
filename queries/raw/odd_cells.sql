-- Purpose: the cells that the quick reading could not read, for the careful one.
-- Grain: one row per cell. Key: sheet_no, row, column.
create or replace temp table odd_cells as
select sheet_no, file, sheet, "row", odd_cell."column", odd_cell."text"
from (
    select sheet_no, file, sheet, "row", unnest(odd) as odd_cell
    from rows_timeslips
    where odd is not null and set_aside is null
    union all
    select sheet_no, file, sheet, "row", unnest(odd) as odd_cell
    from rows_weather
    where odd is not null and set_aside is null
    union all
    select sheet_no, file, sheet, "row", unnest(odd) as odd_cell
    from rows_track
    where odd is not null and set_aside is null
    union all
    select sheet_no, file, sheet, "row", unnest(odd) as odd_cell
    from rows_setups
    where odd is not null and set_aside is null
    union all
    select sheet_no, file, sheet, "row", unnest(odd) as odd_cell
    from rows_checks
    where odd is not null and set_aside is null
);
