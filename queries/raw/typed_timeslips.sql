-- Purpose: the data rows of every current timeslips sheet, each value in its canonical unit.
-- A run without a time stands at midnight plus its row in milliseconds, so rows keep their order.
-- Grain: one row per data row. Key: slip_id, which follows the order of sheets and rows.
create or replace view typed_timeslips as
select
    sheet_no::bigint * 100000000 + "row" as slip_id,
    file,
    sheet,
    "row",
    sheet_no::bigint * 100000000 + "row" as entry_order,
    car,
    case when clock_s is null then "day" + to_milliseconds("row") else "day" + to_seconds(clock_s) end as run_at,
    clock_s is not null as has_time,
    venue,
    event,
    round,
    lane,
    reaction_s,
    t60_s,
    t330_s,
    t660_s,
    v660_mph,
    t1000_s,
    t1320_s,
    v1320_mph,
    launch_rpm,
    track_temp_degf,
    preload_turns,
    counterweight_g,
    tire_pressure_psi,
    coalesce(extras, map([]::varchar[], []::double[])) as extras,
    outcome,
    lifted_after_ft,
    notes,
    short_splits,
    clock_s
from rows_timeslips
where set_aside is null;
