-- Purpose: the clutch checks in order, with the runs made before each and the services among them.
-- Grain: one row per check. Key: check_id.
-- A service is a check with a shim taken out, or one whose notes speak of work done and whose ring height
-- is below the last. Its height is the one after the work.
-- Reads: run_numbers
create or replace table clutch_checks as
with run_counts as (
    select car, run_at, max(run_no) as runs_made
    from run_numbers
    where run_no is not null
    group by car, run_at
),

counted as (
    select
        checks.check_id,
        checks.car,
        checks.checked_at,
        checks.entry_order,
        checks.ring_height_in,
        checks.bearing_clearance_in,
        coalesce(checks.shim_removed_in, 0.0) as shim_removed_in,
        coalesce(run_counts.runs_made, 0) as runs_made,
        coalesce(
            regexp_matches(
                lower(checks.notes), 'servic|rebuil|refresh|refac|shim|new dis[ck]|replac|fresh dis[ck]'
            ),
            false
        ) as speaks_of_work,
        last_value(checks.ring_height_in ignore nulls) over (
            partition by checks.car
            order by checks.checked_at, checks.entry_order
            rows between unbounded preceding and 1 preceding
        ) as last_height_in
    from checks
    asof left join run_counts
        on checks.car = run_counts.car and checks.checked_at > run_counts.run_at
    where checks.car is not null and checks.checked_at is not null
),

judged as (
    select
        *,
        shim_removed_in > 0.0
        or coalesce(speaks_of_work and ring_height_in < last_height_in, false) as is_service
    from counted
)

select
    check_id,
    car,
    checked_at,
    entry_order,
    runs_made,
    ring_height_in,
    shim_removed_in,
    bearing_clearance_in,
    is_service,
    cast(sum(cast(is_service as integer)) over (
        partition by car order by checked_at, entry_order
    ) as integer) as service_no
from judged;
