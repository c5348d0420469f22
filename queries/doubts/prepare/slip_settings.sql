-- Purpose: settings written on slips that lie outside a limit or far from the car's own, to be looked at.
-- Grain: one row per slip and setting. Key: slip_id, column.
create or replace temp table slip_settings as
with limits as (
    select u.car, m_turns, m_grams, m_psi, m_rpm, w_rpm, l.* exclude (car)
    from slip_usual as u
    left join given_limits as l using (car)
),

odd as (
    select
        s.slip_id, s.file, s.sheet, s.row, s.car, s.preload_turns, s.counterweight_g, s.launch_rpm,
        s.tire_pressure_psi, m_turns, m_grams, m_psi, m_rpm, w_rpm
    from typed_timeslips as s
    join limits as l on l.car is not distinct from s.car
    where
        preload_turns > coalesce(safe_turns, 8) or counterweight_g > coalesce(high_g, 120)
        or counterweight_g >= 3.5 * greatest(m_grams, 0.5)
        or launch_rpm not between coalesce(low_rpm, 1000) * 0.8 and coalesce(high_rpm, 12000)
        or abs(launch_rpm - m_rpm) > 6 * w_rpm
        or tire_pressure_psi not between coalesce(low_psi, 2) * 0.7 and coalesce(high_psi, 40) * 1.3
)

select
    slip_id, file, sheet, row, car,
    unnest(['preload_turns', 'counterweight_g', 'launch_rpm', 'tire_pressure_psi']) as "column",
    unnest([preload_turns, counterweight_g, launch_rpm, tire_pressure_psi]) as value,
    unnest([m_turns, m_grams, m_rpm, m_psi]) as usual,
    w_rpm
from odd
where preload_turns is not null or counterweight_g is not null or launch_rpm is not null
    or tire_pressure_psi is not null;
