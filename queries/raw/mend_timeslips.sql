-- Purpose: put what the careful reading found into rows_timeslips.
-- Grain: one row per row with such a cell. Reads the table mended_cells.
update rows_timeslips
set
    "day" = coalesce(rows_timeslips."day", found."day"),
    clock_s = coalesce(rows_timeslips.clock_s, found.clock_s),
    reaction_s = coalesce(rows_timeslips.reaction_s, found.reaction_s),
    t60_s = coalesce(rows_timeslips.t60_s, found.t60_s),
    t330_s = coalesce(rows_timeslips.t330_s, found.t330_s),
    t660_s = coalesce(rows_timeslips.t660_s, found.t660_s),
    v660_mph = coalesce(rows_timeslips.v660_mph, found.v660_mph),
    t1000_s = coalesce(rows_timeslips.t1000_s, found.t1000_s),
    t1320_s = coalesce(rows_timeslips.t1320_s, found.t1320_s),
    v1320_mph = coalesce(rows_timeslips.v1320_mph, found.v1320_mph),
    launch_rpm = coalesce(rows_timeslips.launch_rpm, found.launch_rpm),
    track_temp_degf = coalesce(rows_timeslips.track_temp_degf, found.track_temp_degf),
    preload_turns = coalesce(rows_timeslips.preload_turns, found.preload_turns),
    counterweight_g = coalesce(rows_timeslips.counterweight_g, found.counterweight_g),
    tire_pressure_psi = coalesce(rows_timeslips.tire_pressure_psi, found.tire_pressure_psi),
    extras = map_concat(rows_timeslips.extras, found.extras)
from (
    select
        sheet_no,
        "row",
        max("day") as "day",
        max(clock_s) as clock_s,
        max(number) filter (where "column" = 'reaction_s') as reaction_s,
        max(number) filter (where "column" = 't60_s') as t60_s,
        max(number) filter (where "column" = 't330_s') as t330_s,
        max(number) filter (where "column" = 't660_s') as t660_s,
        max(number) filter (where "column" = 'v660_mph') as v660_mph,
        max(number) filter (where "column" = 't1000_s') as t1000_s,
        max(number) filter (where "column" = 't1320_s') as t1320_s,
        max(number) filter (where "column" = 'v1320_mph') as v1320_mph,
        max(number) filter (where "column" = 'launch_rpm') as launch_rpm,
        max(number) filter (where "column" = 'track_temp_degf') as track_temp_degf,
        max(number) filter (where "column" = 'preload_turns') as preload_turns,
        max(number) filter (where "column" = 'counterweight_g') as counterweight_g,
        max(number) filter (where "column" = 'tire_pressure_psi') as tire_pressure_psi,
        map_from_entries(list({'k': "column"[7:], 'v': number}) filter (where "column" like 'extra:%' and number is not null)) as extras
    from mended_cells
    group by sheet_no, "row"
) as found
where rows_timeslips.sheet_no = found.sheet_no and rows_timeslips."row" = found."row";
