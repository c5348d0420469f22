-- Purpose: the design without any robustness: every run weighs one.
-- Grain: one row per run.
-- Key: none.
create or replace temp view fleet_design as
select
    car_no,
    event_key,
    1.0::double as weight,
    0.0::double as pull2,
    1.0::double as slope,
    turns,
    grams,
    rpm,
    track,
    air,
    seconds
from fleet_rows;
