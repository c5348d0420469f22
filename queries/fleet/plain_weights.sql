-- Purpose: runs without any robustness: each weighs one.
-- Grain: one row per run.
-- Key: none.
create or replace temp view fleet_weighted as
select
    car_no,
    event_key,
    cast(1.0 as double) as weight,
    cast(0.0 as double) as pull2,
    cast(1.0 as double) as slope,
    turns,
    grams,
    rpm,
    track,
    air,
    seconds
from fleet_rows;
