-- Purpose: what a run is judged against before any fit: the middle of its event, and the car's noise.
-- Grain: one row per car and event.
-- Key: event_key.
create or replace temp table fleet_levels as
select
    middles.car_no,
    middles.event_key,
    middles.middle as level,
    noise.noise,
    cast(0.0 as double) as b_turns,
    cast(0.0 as double) as b_grams,
    cast(0.0 as double) as b_rpm,
    cast(0.0 as double) as b_track,
    cast(0.0 as double) as b_air,
    cast(0.0 as double) as b_rpm2,
    cast(0.0 as double) as b_rpmtrack
from fleet_middles as middles
inner join fleet_noise as noise on middles.car_no = noise.car_no;
