-- Purpose: the ring heights that are known, by runs made: those measured, and the height just before a shim
-- came out (the height after plus the shim), which ends the stretch before.
-- Grain: one row per car, stretch between services and runs made; of several the last one. All of wear is
-- worked out from these, here and in pipeline/season/wear_state.py.
-- Reads: clutch_checks
create or replace table ring_knots as
with measured as (
    select check_id, car, service_no, runs_made, ring_height_in, checked_at, entry_order
    from clutch_checks
    where ring_height_in is not null
    union all
    select
        check_id,
        car,
        service_no - 1,
        runs_made,
        ring_height_in + shim_removed_in,
        checked_at,
        entry_order
    from clutch_checks
    where is_service and shim_removed_in > 0.0 and ring_height_in is not null
)

select check_id, car, service_no, runs_made, ring_height_in
from measured
qualify row_number() over (
    partition by car, service_no, runs_made order by checked_at desc, entry_order desc
) = 1;
