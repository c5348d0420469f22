-- Purpose: put what the careful reading found into rows_setups.
-- Grain: one row per row with such a cell. Reads the table mended_cells.
update rows_setups
set
    "day" = coalesce(rows_setups."day", found."day"),
    clock_s = coalesce(rows_setups.clock_s, found.clock_s),
    preload_turns = coalesce(rows_setups.preload_turns, found.preload_turns),
    counterweight_g = coalesce(rows_setups.counterweight_g, found.counterweight_g),
    launch_rpm = coalesce(rows_setups.launch_rpm, found.launch_rpm),
    tire_pressure_psi = coalesce(rows_setups.tire_pressure_psi, found.tire_pressure_psi),
    preload_screws = coalesce(found.preload_screws, rows_setups.preload_screws),
    extras = map_concat(rows_setups.extras, found.extras)
from (
    select
        sheet_no,
        "row",
        max("day") as "day",
        max(clock_s) as clock_s,
        max(number) filter (where "column" = 'preload_turns') as preload_turns,
        max(number) filter (where "column" = 'counterweight_g') as counterweight_g,
        max(number) filter (where "column" = 'launch_rpm') as launch_rpm,
        max(number) filter (where "column" = 'tire_pressure_psi') as tire_pressure_psi,
        any_value(several) filter (where "column" = 'preload_turns') as preload_screws,
        map_from_entries(list({'k': "column"[7:], 'v': number}) filter (where "column" like 'extra:%' and number is not null)) as extras
    from mended_cells
    group by sheet_no, "row"
) as found
where rows_setups.sheet_no = found.sheet_no and rows_setups."row" = found."row";
