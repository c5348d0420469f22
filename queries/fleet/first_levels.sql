-- Purpose: what a run is judged against before any fit: the middle of its event, and the car's noise.
-- Grain: one row per car and event.
-- Key: event_key.
create or replace temp table fleet_levels as
select
    middles.event_key,
    middles.middle as level,
    noise.noise,
    0.0::double as b_turns,
    0.0::double as b_grams,
    0.0::double as b_rpm,
    0.0::double as b_track,
    0.0::double as b_air,
    0.0::double as b_rpm2,
    0.0::double as b_rpmtrack
from fleet_middles as middles
inner join fleet_noise as noise on middles.car_no = noise.car_no;
