-- Purpose: the clutch as it stands: at the last run, or at a check or service made since.
-- Grain: one row per car with a run or a check. Key: car.
-- wear_in counts from when the preload was first set, as in runs; grown_since_service_in from the last
-- service and, in the first stretch, from when the preload was set (or the first check, if it never was).
-- Reads: clutch_checks, preload_first_set, ring_height_at, ring_knots, run_numbers
create or replace table clutch_now as
with last_run as (
    select car, max(run_at) as run_at
    from run_numbers
    where run_no is not null
    group by car
),

last_check as (
    select car, max(checked_at) as checked_at
    from clutch_checks
    where ring_height_in is not null or is_service
    group by car
),

latest as (
    select
        car,
        case
            when last_run.run_at is null or last_check.checked_at > last_run.run_at then last_check.checked_at
            else last_run.run_at
        end as moment
    from last_run
    full join last_check using (car)
),

standing as (
    select heights.*
    from ring_height_at as heights
    inner join latest using (car, moment)
    qualify row_number() over (partition by heights.car order by heights.runs_made desc) = 1
),

when_set as (
    select
        heights.car,
        min_by(heights.ring_height_in, heights.runs_made) as ring_height_in,
        min_by(heights.service_no, heights.runs_made) as service_no
    from ring_height_at as heights
    inner join preload_first_set as first
        on heights.car = first.car and heights.moment = first.first_set_at
    group by heights.car
),

at_service as (
    select heights.car, heights.service_no, min_by(heights.ring_height_in, heights.runs_made) as ring_height_in
    from ring_height_at as heights
    inner join clutch_checks as checks
        on heights.car = checks.car
        and heights.moment = checks.checked_at
        and heights.service_no = checks.service_no
    where checks.is_service
    group by heights.car, heights.service_no
),

first_known as (
    select car, min_by(ring_height_in, runs_made) as ring_height_in
    from ring_knots
    where service_no = 0
    group by car
)

select
    standing.car,
    standing.runs_made,
    standing.service_no,
    standing.ring_height_in,
    standing.ring_height_in - when_set.ring_height_in as wear_in,
    standing.ring_height_in - case
        when standing.service_no > 0 then at_service.ring_height_in
        when when_set.service_no = 0 then coalesce(when_set.ring_height_in, first_known.ring_height_in)
        else first_known.ring_height_in
    end as grown_since_service_in
from standing
left join when_set using (car)
left join at_service
    on standing.car = at_service.car and standing.service_no = at_service.service_no
left join first_known on standing.car = first_known.car;
