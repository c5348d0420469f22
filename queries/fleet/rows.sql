-- Purpose: the runs of a batch of cars in practical steps from the fixed reference: 3 turns, 4 g,
--   6000 rpm (steps of 100), 95 degF (steps of 10), 1.20 kg/m3 (percent, by its logarithm), 1.5 s.
--   A factor a car records in too few of its runs counts as never moved; else a run lacking it is left out.
--   No column is ever empty; coalesce says so to an engine that would else look at each number again.
-- Grain: one row per run that counts.
-- Key: none.
-- Parameters: $first, $last: numbers of the batch's first and last car.
create or replace temp table fleet_rows as
select
    runs.car_no,
    runs.event_key,
    coalesce(case when cars.has_preload then runs.preload_turns - 3.0 end, 0.0) as turns,
    coalesce(case when cars.has_counterweight then runs.counterweight_g - 4.0 end, 0.0) as grams,
    coalesce(case when cars.has_launch_rpm then (runs.launch_rpm - 6000.0) / 100.0 end, 0.0) as rpm,
    coalesce(case when cars.has_track_temp then (runs.track_temp_degf - 95.0) / 10.0 end, 0.0) as track,
    coalesce(case when cars.has_air_density then 100.0 * ln(runs.air_density_kg_per_m3 / 1.2) end, 0.0) as air,
    coalesce(runs.seconds - 1.5, 0.0) as seconds
from fleet_runs as runs
inner join fleet_cars as cars on runs.car_no = cars.car_no
where
    runs.car_no between $first and $last
    and runs.seconds is not null
    and (runs.preload_turns is not null or not cars.has_preload)
    and (runs.counterweight_g is not null or not cars.has_counterweight)
    and (runs.launch_rpm is not null or not cars.has_launch_rpm)
    and (runs.track_temp_degf is not null or not cars.has_track_temp)
    and (runs.air_density_kg_per_m3 is not null or not cars.has_air_density);
