-- Purpose: the slips from which each car's usual values are taken: all of them, or every n-th of a great
--          store, where more would cost time and add nothing.
-- Grain: one row per slip. Key: slip_id.
create or replace temp table slip_sample as
with step as (
    select greatest(1, (count(*) / 60000)::bigint) as every from typed_timeslips
)
select
    slip_id, car, reaction_s, t60_s, t330_s, t660_s, v660_mph, t1000_s, t1320_s, v1320_mph, outcome, lifted_after_ft,
    launch_rpm, preload_turns, counterweight_g, tire_pressure_psi
from typed_timeslips
where slip_id % (select every from step) = 0
    and (outcome is null or outcome in ('clean', 'red light', 'spun', 'bogged'));
