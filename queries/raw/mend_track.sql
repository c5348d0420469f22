-- Purpose: put what the careful reading found into rows_track.
-- Grain: one row per row with such a cell. Reads the table mended_cells.
update rows_track
set
    "day" = coalesce(rows_track."day", found."day"),
    clock_s = coalesce(rows_track.clock_s, found.clock_s),
    track_temp_degf = coalesce(rows_track.track_temp_degf, found.track_temp_degf)
from (
    select
        sheet_no,
        "row",
        max("day") as "day",
        max(clock_s) as clock_s,
        max(number) filter (where "column" = 'track_temp_degf') as track_temp_degf
    from mended_cells
    group by sheet_no, "row"
) as found
where rows_track.sheet_no = found.sheet_no and rows_track."row" = found."row";
