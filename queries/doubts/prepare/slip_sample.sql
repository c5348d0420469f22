-- Purpose: the slips from which each car's usual values are taken: all of them, or by lot one in n of a great
--          store (but some twenty a car), where more would cost time and add nothing. What no slip can hold is no one's usual,
--          even where a person always leaves out the decimal point.
-- Grain: one row per slip. Key: slip_id.
create or replace temp table slip_sample as
with step as (
    select greatest(1, least(count(*) // 60000, count(*) // (20 * count(distinct car))))::ubigint as every
    from typed_timeslips
)

select
    slip_id, car, reaction_s,
    if(t60_s between 0.7 and 6, t60_s, null) as t60_s,
    if(t330_s between 2.2 and 20, t330_s, null) as t330_s,
    if(t660_s between 3.4 and 30, t660_s, null) as t660_s,
    if(v660_mph between 40 and 260, v660_mph, null) as v660_mph,
    if(t1000_s between 4.5 and 40, t1000_s, null) as t1000_s,
    if(t1320_s between 5.5 and 45, t1320_s, null) as t1320_s,
    if(v1320_mph between 50 and 340, v1320_mph, null) as v1320_mph,
    outcome, lifted_after_ft,
    {{ adjustments | listed }}
from typed_timeslips
where hash(slip_id) % (select every from step) = 0
    and (outcome is null or outcome in ('clean', 'red light', 'spun', 'bogged'));
