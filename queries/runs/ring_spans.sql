-- Purpose: the ring height as it grew over runs made, in straight pieces between checks.
-- Grain: one row per car, stretch between services and start; the first piece of each stretch starts
-- before all runs with no height. growth_in_per_run is the car's middle growth, for runs beyond a check.
-- A stretch ends with the height before the shim came out: the height after plus the shim.
-- Reads: clutch_checks
create or replace temp table ring_spans as
with measured as (
    select car, service_no, runs_made, ring_height_in, checked_at, entry_order
    from clutch_checks
    where ring_height_in is not null
    union all
    select
        car,
        service_no - 1,
        runs_made,
        ring_height_in + shim_removed_in,
        checked_at,
        entry_order
    from clutch_checks
    where is_service and shim_removed_in > 0.0 and ring_height_in is not null
),

knots as (
    select car, service_no, runs_made, ring_height_in
    from measured
    qualify row_number() over (
        partition by car, service_no, runs_made order by checked_at desc, entry_order desc
    ) = 1
),

pieces as (
    select
        car,
        service_no,
        runs_made as from_runs,
        ring_height_in as from_in,
        lead(runs_made) over neighbours as to_runs,
        lead(ring_height_in) over neighbours as to_in
    from (
        select car, service_no, runs_made, ring_height_in from knots
        union all
        select distinct car, service_no, -1, cast(null as double) from knots
    )
    window neighbours as (partition by car, service_no order by runs_made)
),

growth as (
    select car, greatest(0.0, median((to_in - from_in) / (to_runs - from_runs))) as growth_in_per_run
    from pieces
    where from_in is not null and to_in is not null
    group by car
)

select pieces.*, coalesce(growth.growth_in_per_run, 0.0) as growth_in_per_run
from pieces
left join growth using (car);
