-- Purpose: the ring height at each run, at each check and when the car's preload was first set.
-- Grain: one row per car, moment and runs made before it.
-- Between checks of one stretch straight over runs made; beyond them by the car's growth per run.
-- Reads: clutch_checks, preload_first_set, ring_spans, run_numbers
create or replace temp table ring_height_at as
with run_counts as (
    select car, run_at, max(run_no) as runs_made
    from run_numbers
    where run_no is not null
    group by car, run_at
),

set_moments as (
    select first.car, first.first_set_at as moment, coalesce(run_counts.runs_made, 0) as runs_made
    from preload_first_set as first
    asof left join run_counts
        on first.car = run_counts.car and first.first_set_at > run_counts.run_at
),

moments as (
    select car, run_at as moment, run_no - 1 as runs_made
    from run_numbers
    where run_no is not null
    union
    select car, moment, runs_made from set_moments
    union
    select car, checked_at, runs_made
    from clutch_checks
    where ring_height_in is not null or is_service
),

checked as (
    select car, checked_at, max(service_no) as service_no
    from clutch_checks
    group by car, checked_at
),

services as (
    select car, service_no, min(runs_made) as runs_made
    from clutch_checks
    where is_service
    group by car, service_no
),

stretched as (
    select
        moments.*,
        coalesce(checked.service_no, 0) as service_no,
        coalesce(services.runs_made, 0) as runs_at_service
    from moments
    asof left join checked
        on moments.car = checked.car and moments.moment >= checked.checked_at
    left join services
        on moments.car = services.car and checked.service_no = services.service_no
)

select
    stretched.car,
    stretched.moment,
    stretched.runs_made,
    stretched.service_no,
    stretched.runs_made - stretched.runs_at_service as runs_since_service,
    case
        when spans.from_in is null
            then spans.to_in - spans.growth_in_per_run * (spans.to_runs - stretched.runs_made)
        when spans.to_in is null
            then spans.from_in + spans.growth_in_per_run * (stretched.runs_made - spans.from_runs)
        else spans.from_in
            + (spans.to_in - spans.from_in)
            * (stretched.runs_made - spans.from_runs) / (spans.to_runs - spans.from_runs)
    end as ring_height_in
from stretched
asof left join ring_spans as spans
    on stretched.car = spans.car
    and stretched.service_no = spans.service_no
    and stretched.runs_made >= spans.from_runs;
