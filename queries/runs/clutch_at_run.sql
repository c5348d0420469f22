-- Purpose: wear and plate load of the clutch at each run.
-- Grain: one row per run of a car that has a place in time. Key: slip_id.
-- Without checks, or without a spring rate, the preload is the one that was set.
-- Reads: centrifugal_load_lb, preload_after_wear_lb, preload_first_set, preload_when_set_lb, ring_height_at, run_numbers, setup_at_run
create or replace temp table clutch_at_run as
with when_set as (
    select heights.car, min_by(heights.ring_height_in, heights.runs_made) as ring_height_in
    from ring_height_at as heights
    inner join preload_first_set as first
        on heights.car = first.car and heights.moment = first.first_set_at
    group by heights.car
),

worn as (
    select
        numbers.slip_id,
        numbers.car,
        now.service_no,
        now.runs_since_service,
        now.ring_height_in,
        now.ring_height_in - at_setting.ring_height_in as wear_in
    from run_numbers as numbers
    inner join ring_height_at as now
        on numbers.car = now.car
        and numbers.run_at = now.moment
        and numbers.run_no - 1 = now.runs_made
    left join when_set as at_setting on numbers.car = at_setting.car
),

loads as (
    select
        worn.*,
        preload_after_wear_lb(
            preload_when_set_lb(
                clutches.base_load_lb, clutches.load_per_turn_lb, clutches.screws, setup.preload_turns
            ),
            coalesce(clutches.springs, clutches.screws),
            coalesce(clutches.spring_rate_lb_per_in, 0.0),
            coalesce(worn.wear_in, 0.0),
            clutches.growth_effect
        ) as preload_lb,
        centrifugal_load_lb(
            clutches.levers, clutches.lever_mass_g, setup.counterweight_g,
            clutches.lever_radius_in, clutches.lever_ratio, setup.launch_rpm
        ) as centrifugal_lb
    from worn
    left join setup_at_run as setup on worn.slip_id = setup.slip_id
    left join cars on worn.car = cars.car
    left join clutches on cars.clutch = clutches.clutch
)

select *, preload_lb + centrifugal_lb as plate_load_lb
from loads;
