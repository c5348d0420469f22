-- Purpose: what a run is judged against after a fit: the car's coefficients and noise, and the level of its
--   event: the car's own, what the event means of the settings stand for, and the event's share of what is
--   left, k = lam / (1 + lam n) times its sum.
-- Grain: one row per car and event.
-- Key: event_key.
-- Parameter: $lam, variance of an event's level over the variance of a run.
create or replace temp table fleet_levels as
with expected as (
    select
        sums.car_no,
        sums.event_key,
        sums.n,
        sums.s_seconds,
        fits.noise,
        fits.b_turns,
        fits.b_grams,
        fits.b_rpm,
        fits.b_track,
        fits.b_air,
        fits.b_rpm2,
        fits.b_rpmtrack,
        fits.b_one
        + (fits.g_turns * sums.s_turns + fits.g_grams * sums.s_grams + fits.g_rpm * sums.s_rpm) / sums.n
            as base,
        fits.b_turns * sums.s_turns
        + fits.b_grams * sums.s_grams
        + fits.b_rpm * sums.s_rpm
        + fits.b_track * sums.s_track
        + fits.b_air * sums.s_air
        + fits.b_rpm2 * sums.s_rpm2
        + fits.b_rpmtrack * sums.s_rpmtrack as within_event
    from fleet_event_sums as sums
    inner join fleet_fits as fits on sums.car_no = fits.car_no
)

select
    car_no,
    event_key,
    base + $lam / (1.0 + $lam * n) * (s_seconds - within_event - n * base) as level,
    noise,
    b_turns,
    b_grams,
    b_rpm,
    b_track,
    b_air,
    b_rpm2,
    b_rpmtrack
from expected;
