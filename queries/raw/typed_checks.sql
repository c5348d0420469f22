-- Purpose: the data rows of every current checks sheet, each value in its canonical unit.
-- A check without a time stands at the start of its day.
-- Grain: one row per data row. Key: check_id, which follows the order of sheets and rows.
create or replace view typed_checks as
select
    sheet_no::bigint * 100000000 + "row" as check_id,
    file,
    sheet,
    "row",
    sheet_no::bigint * 100000000 + "row" as entry_order,
    car,
    "day" + to_seconds(coalesce(clock_s, 0)) as checked_at,
    ring_height_in,
    ring_heights_in,
    shim_removed_in,
    bearing_clearance_in,
    disc_thickness_in,
    notes,
    clock_s
from rows_checks
where set_aside is null;
