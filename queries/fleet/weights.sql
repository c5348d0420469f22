-- Purpose: runs with t-weights, nu = 4: a run at z noise scales from expectation weighs 5 / (4 + z^2).
--   Beside it, for the variance of what is estimated with such weights: the square of weight times
--   residual [s^2], and the slope of weight times residual, d/dz 5 z / (4 + z^2) = 5 (4 - z^2) / (4 + z^2)^2.
--   None is ever empty, as in rows.sql.
-- Grain: one row per run.
-- Key: none.
create or replace temp view fleet_weighted as
with residuals as (
    select
        run.*,
        levels.noise,
        run.seconds - levels.level - (
            levels.b_turns * run.turns
            + levels.b_grams * run.grams
            + run.rpm * (levels.b_rpm + levels.b_rpm2 * run.rpm + levels.b_rpmtrack * run.track)
            + levels.b_track * run.track
            + levels.b_air * run.air
        ) as residual
    from fleet_rows as run
    inner join fleet_levels as levels on run.car_no = levels.car_no and run.event_key = levels.event_key
),

far as (
    select *, (residual / noise) * (residual / noise) as z2
    from residuals
)

select
    car_no,
    event_key,
    coalesce(5.0 / (4.0 + z2), 0.0) as weight,
    coalesce(25.0 * residual * residual / ((4.0 + z2) * (4.0 + z2)), 0.0) as pull2,
    coalesce(5.0 * (4.0 - z2) / ((4.0 + z2) * (4.0 + z2)), 0.0) as slope,
    turns,
    grams,
    rpm,
    track,
    air,
    seconds
from far;
