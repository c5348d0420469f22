-- Purpose: the cars of the fleet, with what each records often enough to be used (in two thirds of the
--   runs that have a time), and how much of what was typed could not be used.
-- Grain: one row per car.
-- Key: car_no.
create or replace table fleet_cars as
select
    car_no,
    max(car) as car,
    max(clutch_type) as clutch_type,
    count(*) as runs,
    count(seconds) as timed,
    sum(cells_typed) as cells_typed,
    sum(cells_bad) as cells_bad,
    max_by(wear_in, (run_order, wear_in)) filter (where wear_in is not null) as worn_in,
    max(service_growth_in) as service_growth_in,
    count(preload_turns) filter (where seconds is not null) * 3 >= count(seconds) * 2 as has_preload,
    count(counterweight_g) filter (where seconds is not null) * 3 >= count(seconds) * 2 as has_counterweight,
    count(launch_rpm) filter (where seconds is not null) * 3 >= count(seconds) * 2 as has_launch_rpm,
    count(track_temp_degf) filter (where seconds is not null) * 3 >= count(seconds) * 2 as has_track_temp,
    count(air_density_kg_per_m3) filter (where seconds is not null) * 3 >= count(seconds) * 2
        as has_air_density
from fleet_runs
group by car_no
having count(seconds) > 0;
