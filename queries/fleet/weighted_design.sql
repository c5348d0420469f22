-- Purpose: the design with t-weights, nu = 4: a run at z noise scales from expectation weighs 5 / (4 + z^2).
-- Grain: one row per run.
-- Key: none.
create or replace temp view fleet_design as
select
    car_no,
    event_key,
    5.0 / (4.0 + (residual / noise) * (residual / noise)) as weight,
    turns,
    grams,
    rpm,
    track,
    air,
    seconds
from fleet_residuals;
