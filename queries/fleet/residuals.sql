-- Purpose: each run against what its car's fit expects, its event's own level taken off.
-- Grain: one row per run.
-- Key: none.
create or replace temp view fleet_residuals as
select
    run.*,
    run.seconds - (
        fits.b_turns * run.turns
        + fits.b_grams * run.grams
        + fits.b_rpm * run.rpm
        + fits.b_track * run.track
        + fits.b_air * run.air
        + fits.b_rpm2 * run.rpm * run.rpm
        + fits.b_rpmtrack * run.rpm * run.track
    ) - levels.level as residual,
    fits.noise
from fleet_rows as run
inner join fleet_fits as fits on run.car_no = fits.car_no
inner join fleet_levels as levels on run.event_key = levels.event_key;
