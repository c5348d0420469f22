-- Purpose: the setup in force at each run, side by side.
-- Grain: one row per slip that has any setting. Key: slip_id.
-- The spread of the screws is known only while the turns of the setup sheet are the ones in force.
create or replace temp table setup_at_run as
with side_by_side as (
    select
        slip_id,
        any_value(setting) filter (where adjustment = 'launch_rpm') as launch_rpm,
        any_value(setting) filter (where adjustment = 'preload_turns') as preload_turns,
        any_value(setting) filter (where adjustment = 'preload_spread_turns') as spread_turns,
        any_value(carried_setting) filter (where adjustment = 'preload_turns') as carried_turns,
        any_value(setting) filter (where adjustment = 'counterweight_g') as counterweight_g,
        any_value(setting) filter (where adjustment = 'tire_pressure_psi') as tire_pressure_psi,
        list({'k': adjustment, 'v': setting} order by adjustment) filter (
            where setting is not null
                and adjustment not in (
                    'launch_rpm', 'preload_turns', 'preload_spread_turns', 'counterweight_g',
                    'tire_pressure_psi'
                )
        ) as extra_pairs,
        list(adjustment order by adjustment) filter (where is_questioned) as questioned
    from settings_at_run
    group by slip_id
)

select
    slip_id,
    launch_rpm,
    preload_turns,
    case when preload_turns = carried_turns then spread_turns end as preload_spread_turns,
    counterweight_g,
    tire_pressure_psi,
    map_from_entries(extra_pairs) as extras,
    questioned
from side_by_side;
