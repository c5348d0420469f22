-- Purpose: the setting of each adjustment in force at each run.
-- Grain: one row per slip and adjustment. Key: slip_id, adjustment.
-- What is written on the slip wins; what is under question there is missing, not carried. setup_id is the
-- row of the setup sheet in force, whether or not the slip says otherwise. Where the time of day is under
-- question, no likely one is known (the run stands at midnight) and the adjustment was changed on that day, the
-- setting is under question too.
-- Reads: setting_entries
create or replace temp table settings_at_run as
with car_adjustments as (
    select distinct car, adjustment from setting_entries
),

wanted as (
    select
        slips.slip_id,
        slips.run_at,
        coalesce(list_contains(slips.questioned, 'time'), false)
        and slips.run_at < cast(slips.run_at as date) + interval 1 hour as is_clock_asked,
        known.car,
        known.adjustment
    from timeslips as slips
    inner join car_adjustments as known using (car)
    where slips.run_at is not null
),

changed_that_day as (
    select distinct wanted.slip_id, wanted.adjustment
    from wanted
    inner join setting_entries as entries
        on wanted.car = entries.car
        and wanted.adjustment = entries.adjustment
        and entries.set_at > wanted.run_at
        and entries.set_at < cast(wanted.run_at as date) + interval 1 day
    where wanted.is_clock_asked
),

carried as (
    select
        wanted.slip_id,
        wanted.adjustment,
        entries.setup_id,
        case when changed.slip_id is null then entries.setting end as setting,
        entries.set_at,
        entries.is_questioned or changed.slip_id is not null as is_questioned
    from wanted
    left join changed_that_day as changed using (slip_id, adjustment)
    asof join setting_entries as entries
        on wanted.car = entries.car
        and wanted.adjustment = entries.adjustment
        and wanted.run_at >= entries.set_at
),

on_columns as (
    select
        slip_id,
        unnest([{{ adjustments | quoted }}]) as adjustment,
        unnest([{{ adjustments | listed }}]) as setting
    from timeslips
),

on_names as (
    select
        slip_id,
        unnest(map_keys(extras)) as adjustment,
        unnest(map_values(extras)) as setting
    from timeslips
),

on_doubts as (
    select distinct slip_id, adjustment
    from (
        select slip_id, regexp_replace(unnest(questioned), '^extra:', '') as adjustment
        from timeslips
    )
    where adjustment in ({{ adjustments | quoted }}) or adjustment in (select adjustment from adjustments)
),

on_slip as (
    select slip_id, adjustment, setting, false as is_questioned
    from (select * from on_columns union all select * from on_names)
    where setting is not null
    union all
    select slip_id, adjustment, null, true from on_doubts
)

select
    coalesce(on_slip.slip_id, carried.slip_id) as slip_id,
    coalesce(on_slip.adjustment, carried.adjustment) as adjustment,
    case when on_slip.slip_id is null then carried.setting else on_slip.setting end as setting,
    coalesce(on_slip.is_questioned, carried.is_questioned) as is_questioned,
    on_slip.slip_id is not null as is_on_slip,
    carried.setting as carried_setting,
    carried.set_at,
    carried.setup_id
from carried
full join on_slip
    on carried.slip_id = on_slip.slip_id and carried.adjustment = on_slip.adjustment;
