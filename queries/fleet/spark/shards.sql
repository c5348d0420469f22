-- Purpose: what stands in each shard: how many runs, in how many of them each needed column is filled in, and
--   two numbers of all its runs that do not depend on their order, by which a copy of a shard is known.
-- Grain: one row per shard.
-- Key: shard.
with marked as (
    select
        *,
        xxhash64(
            car,
            event,
            response,
            preload_turns,
            counterweight_g,
            launch_rpm,
            track_temp_degf,
            air_density_kg_per_m3,
            clutch_type,
            run_date,
            wear_in,
            service_growth_in,
            use_run
        ) as mark
    from fleet_shards
)

select
    shard,
    count(*) as runs,
    bit_xor(mark) as marks_apart,
    sum(mark % 1000000007) as marks_together,
    count(car) as car,
    count(event) as event,
    count(response) as response,
    count(preload_turns) as preload_turns,
    count(counterweight_g) as counterweight_g,
    count(launch_rpm) as launch_rpm,
    count(track_temp_degf) as track_temp_degf,
    count(air_density_kg_per_m3) as air_density_kg_per_m3
from marked
group by shard
