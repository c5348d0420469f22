-- Purpose: settings written on slips that lie outside a limit or far from the car's own, to be looked at.
-- Grain: one row per slip and setting. Key: slip_id, column.
create or replace temp table slip_settings as
with usual as (
    select
        car, median(preload_turns) as turns, median(counterweight_g) as grams, median(tire_pressure_psi) as psi
    from typed_timeslips
    where slip_id % (select greatest(1, (count(*) / 50000)::bigint) from typed_timeslips) = 0
    group by car
),

odd as (
    select
        s.slip_id, s.file, s.sheet, s.row, s.car, s.preload_turns, s.counterweight_g, s.launch_rpm,
        s.tire_pressure_psi, o.turns, o.grams, o.psi, u.m_rpm, u.w_rpm, l.* exclude (car)
    from typed_timeslips as s
    join slip_usual as u on u.car is not distinct from s.car
    join usual as o on o.car is not distinct from s.car
    left join given_limits as l on l.car = s.car
    where
        preload_turns > coalesce(safe_turns, 8) or counterweight_g > coalesce(high_g, 120)
        or counterweight_g >= 3.5 * greatest(o.grams, 0.5)
        or launch_rpm not between coalesce(low_rpm, 1000) * 0.8 and coalesce(high_rpm, 12000)
        or abs(launch_rpm - m_rpm) > 6 * w_rpm
        or tire_pressure_psi not between coalesce(low_psi, 2) * 0.7 and coalesce(high_psi, 40) * 1.3
)

select
    slip_id, file, sheet, row, car,
    unnest(['preload_turns', 'counterweight_g', 'launch_rpm', 'tire_pressure_psi']) as "column",
    unnest([preload_turns, counterweight_g, launch_rpm, tire_pressure_psi]) as value,
    unnest([turns, grams, m_rpm, psi]) as usual,
    w_rpm
from odd
where preload_turns is not null or counterweight_g is not null or launch_rpm is not null
    or tire_pressure_psi is not null;
