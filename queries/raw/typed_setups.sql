-- Purpose: the data rows of every current setups sheet, each value in its canonical unit.
-- A change without a time is in force from the start of its day.
-- Grain: one row per data row. Key: setup_id, which follows the order of sheets and rows.
create or replace view typed_setups as
select
    sheet_no::bigint * 100000000 + "row" as setup_id,
    file,
    sheet,
    "row",
    sheet_no::bigint * 100000000 + "row" as entry_order,
    car,
    "day" + to_seconds(coalesce(clock_s, 0)) as set_at,
    preload_turns,
    preload_screws,
    counterweight_g,
    launch_rpm,
    tire_pressure_psi,
    coalesce(extras, map([]::varchar[], []::double[])) as extras,
    notes,
    clock_s
from rows_setups
where set_aside is null;
