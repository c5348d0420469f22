-- Purpose: the ring height as it grew over runs made, in straight pieces between checks.
-- Grain: one row per car, stretch between services and start; the first piece of each stretch starts
-- before all runs with no height. growth_in_per_run is the car's growth, for runs beyond a check: the median
-- slope of all pairs of heights within one stretch (Sen 1968), as theil_sen in pipeline/physics/wear.py. The
-- middle slope of neighbours would let two checks a run apart, which differ by little more than the caliper
-- does, count as much as two forty runs apart. A ring does not shrink: the growth is never below zero.
-- Reads: ring_knots
create or replace temp table ring_spans as
with pieces as (
    select
        car,
        service_no,
        runs_made as from_runs,
        ring_height_in as from_in,
        lead(runs_made) over neighbours as to_runs,
        lead(ring_height_in) over neighbours as to_in
    from (
        select car, service_no, runs_made, ring_height_in from ring_knots
        union all
        select distinct car, service_no, -1, cast(null as double) from ring_knots
    )
    window neighbours as (partition by car, service_no order by runs_made)
),

growth as (
    select
        earlier.car,
        greatest(
            0.0,
            median((later.ring_height_in - earlier.ring_height_in) / (later.runs_made - earlier.runs_made))
        ) as growth_in_per_run
    from ring_knots as earlier
    inner join ring_knots as later
        on earlier.car = later.car
        and earlier.service_no = later.service_no
        and earlier.runs_made < later.runs_made
    group by earlier.car
)

select pieces.*, coalesce(growth.growth_in_per_run, 0.0) as growth_in_per_run
from pieces
left join growth using (car);
