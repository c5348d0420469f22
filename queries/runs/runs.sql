-- Purpose: every run on equal terms: slip, setup in force, weather, track, wear, plate load, what counts.
-- Grain: one row per run. Key: run_id.
-- Reads: at_most_all, clutch_at_run, conditions, density_altitude_m, density_simple, j1349, j607, kelvin, known, run_numbers, runs_on_parts, saturation_vapor_pressure_pa, setup_at_run, use_of_splits
create or replace table runs as
with air as (
    select
        *,
        kelvin(air_temp_degf) as temp_k,
        station_pressure_inhg * 3386.388640341 as pressure_pa,
        vapor_pressure_inhg * 3386.388640341 as vapor_pa
    from conditions
),

dense as (
    select *, density_simple(temp_k, pressure_pa, vapor_pa) as density
    from air
)

select
    cast(numbers.run_id as bigint) as run_id,
    slips.car,
    numbers.event,
    slips.run_at,
    cast(slips.run_at as date) as run_date,
    slips.venue,
    slips.round,
    slips.lane,
    slips.driver,
    slips.launch_style,
    cast(numbers.run_of_event as integer) as run_of_event,
    slips.reaction_s,
    slips.t60_s,
    slips.t330_s,
    slips.t660_s,
    slips.v660_mph,
    slips.t1000_s,
    slips.t1320_s,
    slips.v1320_mph,
    known(slips.t330_s - slips.t60_s) as t60_330_s,
    known(slips.t660_s - slips.t330_s) as t330_660_s,
    known(slips.t1000_s - slips.t660_s) as t660_1000_s,
    known(slips.t1320_s - slips.t1000_s) as t1000_1320_s,
    setup.* exclude (slip_id, questioned) replace (coalesce(setup.extras, map {}) as extras),
    known(dense.track_temp_degf) as track_temp_degf,
    dense.track_temp_gap_h,
    dense.air_temp_degf,
    dense.station_pressure_inhg,
    dense.vapor_pressure_inhg,
    at_most_all(100.0 * dense.vapor_pa / saturation_vapor_pressure_pa(dense.temp_k)) as humidity_pct,
    dense.weather_gap_h,
    dense.density as air_density_kg_per_m3,
    density_altitude_m(dense.density) / 0.3048 as density_altitude_ft,
    j607(dense.pressure_pa - dense.vapor_pa, dense.temp_k) as j607_factor,
    j1349(dense.pressure_pa - dense.vapor_pa, dense.temp_k) as j1349_factor,
    known(dense.headwind_mph) as headwind_mph,
    cast(clutch.service_no as integer) as service_no,
    cast(clutch.runs_since_service as integer) as runs_since_service,
    parts.* exclude (slip_id),
    known(clutch.ring_height_in) as ring_height_in,
    known(clutch.wear_in) as wear_in,
    known(clutch.preload_lb) as preload_lb,
    known(clutch.centrifugal_lb) as centrifugal_lb,
    known(clutch.plate_load_lb) as plate_load_lb,
    slips.outcome,
    slips.notes,
    splits.use_t60,
    coalesce(splits.use_t60_330, false) as use_t60_330,
    splits.use_t330,
    splits.left_out_reason,
    splits.questioned,
    slips.file,
    slips.sheet,
    slips."row"
from timeslips as slips
inner join run_numbers as numbers using (slip_id)
inner join use_of_splits as splits using (slip_id)
left join setup_at_run as setup using (slip_id)
left join dense using (slip_id)
left join clutch_at_run as clutch using (slip_id)
left join runs_on_parts as parts using (slip_id)
order by run_id;
