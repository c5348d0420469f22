-- Purpose: the first, rough design: every run weighs one, its time brought to within 60 ms of the middle
--   of its event. 60 ms is several times what settings and noise do within a day, and far less than
--   what a spun or mistyped run does.
-- Grain: one row per run.
-- Key: none.
create or replace temp view fleet_design as
select
    run.car_no,
    run.event_key,
    1.0::double as weight,
    run.turns,
    run.grams,
    run.rpm,
    run.track,
    run.air,
    least(greatest(run.seconds, middles.middle - 0.060), middles.middle + 0.060) as seconds
from fleet_rows as run
inner join fleet_middles as middles on run.event_key = middles.event_key;
