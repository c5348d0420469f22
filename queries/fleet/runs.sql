-- Purpose: the fleet's runs as numbers, from a source whose columns are numbers or text. A cell that is no
--   number, or lies outside the plausible range, becomes empty and is counted.
-- Grain: one row per run of a named car.
-- Key: none.
-- Parameters: $..._low and $..._high: the plausible range of each column.
-- car_key and event_key_of are the engine's own: keys.sql here, spark/keys.sql there.
create or replace table fleet_runs as
with read as (
    select
        *,
        coalesce(cast(event as string), cast(run_date as string)) as event_name,
        try_cast(response as double) as response_read,
        try_cast(preload_turns as double) as preload_read,
        try_cast(counterweight_g as double) as counterweight_read,
        try_cast(launch_rpm as double) as launch_rpm_read,
        try_cast(track_temp_degf as double) as track_temp_read,
        try_cast(air_density_kg_per_m3 as double) as air_density_read
    from fleet_source
    where car is not null
),

judged as (
    select
        *,
        case when response_read between $response_low and $response_high then response_read end as seconds,
        case when preload_read between $preload_low and $preload_high then preload_read end as preload,
        case
            when counterweight_read between $counterweight_low and $counterweight_high
                then counterweight_read
        end as counterweight,
        case when launch_rpm_read between $launch_rpm_low and $launch_rpm_high then launch_rpm_read end as rpm,
        case when track_temp_read between $track_temp_low and $track_temp_high then track_temp_read end
            as track,
        case when air_density_read between $air_density_low and $air_density_high then air_density_read end
            as air
    from read
)

select
    cast(car as string) as car,
    coalesce(cast(clutch_type as string), '') as clutch_type,
    car_key(cast(car as string)) as car_no,
    event_key_of(cast(car as string), event_name) as event_key,
    case when coalesce(try_cast(use_run as boolean), true) and event_name is not null then seconds end
        as seconds,
    preload as preload_turns,
    counterweight as counterweight_g,
    rpm as launch_rpm,
    track as track_temp_degf,
    air as air_density_kg_per_m3,
    case when wear_in is not null then coalesce(cast(run_date as string), '') end as run_order,
    try_cast(wear_in as double) as wear_in,
    try_cast(service_growth_in as double) as service_growth_in,
    cast(
        case when response is not null then 1 else 0 end
        + case when preload_turns is not null then 1 else 0 end
        + case when counterweight_g is not null then 1 else 0 end
        + case when launch_rpm is not null then 1 else 0 end
        + case when track_temp_degf is not null then 1 else 0 end
        + case when air_density_kg_per_m3 is not null then 1 else 0 end as tinyint
    ) as cells_typed,
    cast(
        case when response is not null and seconds is null then 1 else 0 end
        + case when preload_turns is not null and preload is null then 1 else 0 end
        + case when counterweight_g is not null and counterweight is null then 1 else 0 end
        + case when launch_rpm is not null and rpm is null then 1 else 0 end
        + case when track_temp_degf is not null and track is null then 1 else 0 end
        + case when air_density_kg_per_m3 is not null and air is null then 1 else 0 end as tinyint
    ) as cells_bad
from judged;
