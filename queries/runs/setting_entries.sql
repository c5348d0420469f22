-- Purpose: every setting entered on the setup sheets, one adjustment a row.
-- Grain: one row per car, adjustment and moment; of entries at one moment the last entered.
-- An entry under question is kept without a value: from then on the setting is not known.
create or replace temp table setting_entries as
with slip_sheets as (
    select distinct file, regexp_replace(sheet, '(, )?table \d+$', '') as sheet
    from timeslips
),

written as (
    select
        setups.* replace (
            -- an untimed change among the runs of a sheet holds from its row on
            case
                when slip_sheets.file is null or set_at > set_at::date then set_at
                else set_at + to_milliseconds("row")
            end as set_at
        ),
        case
            when preload_turns is null then null
            when len(preload_screws) > 0 then list_max(preload_screws) - list_min(preload_screws)
            else 0.0
        end as preload_spread_turns
    from setups
    left join slip_sheets
        on setups.file = slip_sheets.file
        and regexp_replace(setups.sheet, '(, )?(table \d+, )?(lines, )?setups$', '') = slip_sheets.sheet
        and ends_with(setups.sheet, 'setups')
    where car is not null and set_at is not null
),

by_column as (
    select
        setup_id,
        car,
        set_at,
        entry_order,
        unnest(['preload_spread_turns', {{ adjustments | quoted }}]) as adjustment,
        unnest([preload_spread_turns, {{ adjustments | listed }}]) as setting
    from written
),

by_name as (
    select
        setup_id,
        car,
        set_at,
        entry_order,
        unnest(map_keys(extras)) as adjustment,
        unnest(map_values(extras)) as setting
    from written
),

doubted as (
    select
        setup_id,
        car,
        set_at,
        entry_order,
        regexp_replace(unnest(questioned), '^extra:', '') as adjustment,
        cast(null as double) as setting
    from written
),

entered as (
    select setup_id, car, set_at, entry_order, adjustment, setting, false as is_questioned
    from (select * from by_column union all select * from by_name)
    where setting is not null
    union all
    select doubted.*, true
    from doubted
    where adjustment in ({{ adjustments | quoted }}) or adjustment in (select adjustment from adjustments)
)

select setup_id, car, adjustment, set_at, setting, is_questioned
from entered
qualify row_number() over (
    partition by car, adjustment, set_at order by entry_order desc
) = 1;
