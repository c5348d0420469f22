-- Purpose: every setting on the setup sheets, with what the car had before and after. One sheet alone is followed
--          in its own order (newest first is turned round), so that a wrong date does not change it; several
--          are followed by date.
-- Grain: one row per setup row and setting. Key: setup_id, column.
-- Reads: typed_setups
-- Needs: typed_setups
create or replace temp table settings as
with sheets as (
    select
        file, sheet, if(coalesce(corr(epoch(set_at), setup_id), 0) < 0, -1, 1) as direction,
        count(*) over () = 1 as is_alone
    from typed_setups
    group by file, sheet
),

written_down as (
    unpivot (
        select
            setup_id, file, sheet, row, car, set_at,
            if(is_alone, direction * setup_id, epoch(set_at)) as turn,
            {{ adjustments | listed }}
        from typed_setups
        join sheets using (file, sheet)
    )
    on {{ adjustments | listed }}
    into name "column" value value
)

select
    *,
    lag(value) over by_car as value_before,
    lead(value) over by_car as value_after,
    lag(set_at) over by_car as set_before,
    (count(*) over by_setting) as times,
    median(value) over by_setting as usual
from written_down
window
    by_car as (partition by car, "column" order by turn, setup_id),
    by_setting as (partition by car, "column");
