-- Purpose: when the preload in force at each run was set.
-- Grain: one row per run that has a preload. Key: slip_id.
-- Turns written again without change are the same setting, unless the clutch was serviced in between.
-- Turns known from slips only are set at the first run of an unbroken row of equal turns.
create or replace temp table preload_set as
with entries as (
    select car, set_at, setting
    from setting_entries
    where adjustment = 'preload_turns'
),

entries_by_service as (
    select entries.*, coalesce(checked.service_no, 0) as service_no
    from entries
    asof left join clutch_checks as checked
        on entries.car = checked.car and entries.set_at >= checked.checked_at
),

entries_with_change as (
    select
        *,
        coalesce(
            setting is distinct from lag(setting) over in_time
            or service_no <> lag(service_no) over in_time,
            true
        ) as is_change
    from entries_by_service
    window in_time as (partition by car order by set_at)
),

truly_set as (
    select
        car,
        set_at,
        max(set_at) filter (where is_change) over (partition by car order by set_at) as first_set_at
    from entries_with_change
),

in_force as (
    select
        numbers.slip_id,
        numbers.car,
        numbers.run_no,
        numbers.run_at,
        found.setting as turns,
        found.setting = found.carried_setting as is_carried,
        found.set_at
    from settings_at_run as found
    inner join run_numbers as numbers using (slip_id)
    where found.adjustment = 'preload_turns' and found.setting is not null and numbers.run_no is not null
),

slip_rows as (
    select
        *,
        coalesce(turns is distinct from lag(turns) over (partition by car order by run_no), true)
        or run_no <> lag(run_no) over (partition by car order by run_no) + 1 as is_change
    from in_force
)

select
    slip_rows.slip_id,
    slip_rows.car,
    case
        when slip_rows.is_carried then truly_set.first_set_at
        else max(slip_rows.run_at) filter (where slip_rows.is_change) over (
            partition by slip_rows.car order by slip_rows.run_no
        )
    end as set_at
from slip_rows
left join truly_set
    on slip_rows.car = truly_set.car and slip_rows.set_at = truly_set.set_at;
