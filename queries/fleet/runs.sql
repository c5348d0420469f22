-- Purpose: the fleet's runs as typed numbers, from a source whose columns may be text. A cell that is no
--   number, or lies outside the plausible range, becomes empty and is counted.
-- Grain: one row per run of a named car.
-- Key: none.
-- Parameters: $..._low and $..._high: the plausible range of each column.
create or replace table fleet_runs as
with read as (
    select
        cast(car as varchar) as car,
        coalesce(cast(clutch_type as varchar), '') as clutch_type,
        coalesce(cast(event as varchar), cast(run_date as varchar)) as event,
        coalesce(try_cast(use_run as boolean), true) as use_run,
        cast(response as varchar) as response_typed,
        cast(preload_turns as varchar) as preload_typed,
        cast(counterweight_g as varchar) as counterweight_typed,
        cast(launch_rpm as varchar) as launch_rpm_typed,
        cast(track_temp_degf as varchar) as track_temp_typed,
        cast(air_density_kg_per_m3 as varchar) as air_density_typed,
        try_cast(response as double) as response,
        try_cast(preload_turns as double) as preload_turns,
        try_cast(counterweight_g as double) as counterweight_g,
        try_cast(launch_rpm as double) as launch_rpm,
        try_cast(track_temp_degf as double) as track_temp_degf,
        try_cast(air_density_kg_per_m3 as double) as air_density_kg_per_m3,
        cast(run_date as varchar) as run_order,
        try_cast(wear_in as double) as wear_in,
        try_cast(service_growth_in as double) as service_growth_in
    from fleet_source
    where car is not null
),

judged as (
    select
        *,
        case when response between $response_low and $response_high then response end as seconds,
        case when preload_turns between $preload_low and $preload_high then preload_turns end as preload,
        case
            when counterweight_g between $counterweight_low and $counterweight_high then counterweight_g
        end as counterweight,
        case when launch_rpm between $launch_rpm_low and $launch_rpm_high then launch_rpm end as rpm,
        case
            when track_temp_degf between $track_temp_low and $track_temp_high then track_temp_degf
        end as track,
        case
            when air_density_kg_per_m3 between $air_density_low and $air_density_high
                then air_density_kg_per_m3
        end as air
    from read
)

select
    car,
    clutch_type,
    cast(hash(car) >> 1 as bigint) as car_no,
    cast(hash(car, event) >> 1 as bigint) as event_key,
    case when use_run and event is not null then seconds end as seconds,
    preload as preload_turns,
    counterweight as counterweight_g,
    rpm as launch_rpm,
    track as track_temp_degf,
    air as air_density_kg_per_m3,
    case when wear_in is not null then coalesce(run_order, '') end as run_order,
    wear_in,
    service_growth_in,
    cast(
        (response_typed is not null)::integer
        + (preload_typed is not null)::integer
        + (counterweight_typed is not null)::integer
        + (launch_rpm_typed is not null)::integer
        + (track_temp_typed is not null)::integer
        + (air_density_typed is not null)::integer as utinyint
    ) as cells_typed,
    cast(
        (response_typed is not null and seconds is null)::integer
        + (preload_typed is not null and preload is null)::integer
        + (counterweight_typed is not null and counterweight is null)::integer
        + (launch_rpm_typed is not null and rpm is null)::integer
        + (track_temp_typed is not null and track is null)::integer
        + (air_density_typed is not null and air is null)::integer as utinyint
    ) as cells_bad
from judged;
