-- Purpose: the setup in force at each run, side by side: each adjustment in the column that runs has for it.
-- Grain: one row per slip that has any setting. Key: slip_id.
-- The spread of the screws is known only while the turns of the setup sheet are the ones in force.
-- Reads: known, settings_at_run
create or replace temp table setup_at_run as
with side_by_side as (
    select
        slip_id,
{% for factor in adjustments %}
        any_value(setting) filter (where adjustment = '{{ factor.column }}') as {{ factor.column }},
{% endfor %}
        any_value(setting) filter (where adjustment = 'preload_spread_turns') as spread_turns,
        any_value(carried_setting) filter (where adjustment = 'preload_turns') as carried_turns,
        list({'k': adjustment, 'v': setting} order by adjustment) filter (
            where setting is not null and adjustment not in ('preload_spread_turns', {{ adjustments | quoted }})
        ) as extra_pairs,
        list(adjustment order by adjustment) filter (
            where is_questioned and adjustment <> 'preload_spread_turns'
        ) as questioned
    from settings_at_run
    group by slip_id
)

select
    slip_id,
{% for factor in adjustments %}
    {{ factor.column }},
{% if factor.name == 'preload' %}
    known(case when preload_turns = carried_turns then spread_turns end) as preload_spread_turns,
{% endif %}
{% endfor %}
    map_from_entries(extra_pairs) as extras,
    questioned
from side_by_side;
