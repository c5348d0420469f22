-- Purpose: the runs of a few cars about their own means, so that nothing is lost to large means.
-- Grain: one row per run.
-- Key: none.
create or replace temp view fleet_design as
select
    run.car_no,
    run.event_key,
    run.weight,
    run.pull2,
    run.slope,
    run.turns - means.turns as turns,
    run.grams - means.grams as grams,
    run.rpm - means.rpm as rpm,
    run.track - means.track as track,
    run.air - means.air as air,
    run.seconds - means.seconds as seconds
from fleet_weighted as run
inner join fleet_own_means as means on run.car_no = means.car_no;
