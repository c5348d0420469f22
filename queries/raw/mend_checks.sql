-- Purpose: put what the careful reading found into rows_checks.
-- Grain: one row per row with such a cell. Reads the table mended_cells.
update rows_checks
set
    "day" = coalesce(rows_checks."day", found."day"),
    clock_s = coalesce(rows_checks.clock_s, found.clock_s),
    ring_height_in = coalesce(rows_checks.ring_height_in, found.ring_height_in),
    shim_removed_in = coalesce(rows_checks.shim_removed_in, found.shim_removed_in),
    bearing_clearance_in = coalesce(rows_checks.bearing_clearance_in, found.bearing_clearance_in),
    disc_thickness_in = coalesce(rows_checks.disc_thickness_in, found.disc_thickness_in),
    ring_heights_in = coalesce(found.ring_heights_in, rows_checks.ring_heights_in)
from (
    select
        sheet_no,
        "row",
        max("day") as "day",
        max(clock_s) as clock_s,
        max(number) filter (where "column" = 'ring_height_in') as ring_height_in,
        max(number) filter (where "column" = 'shim_removed_in') as shim_removed_in,
        max(number) filter (where "column" = 'bearing_clearance_in') as bearing_clearance_in,
        max(number) filter (where "column" = 'disc_thickness_in') as disc_thickness_in,
        any_value(several) filter (where "column" = 'ring_height_in') as ring_heights_in
    from mended_cells
    group by sheet_no, "row"
) as found
where rows_checks.sheet_no = found.sheet_no and rows_checks."row" = found."row";
