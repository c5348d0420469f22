-- Purpose: every setting written down, on setup sheets and on slips that carry one out of the ordinary,
--          with what the car had before and after on the setup sheets.
-- Grain: one row per setup row and setting. Key: setup_id, column.
create or replace temp table settings as
with written_down as (
    unpivot (
        select
            setup_id, file, sheet, row, car, set_at, preload_turns, counterweight_g, launch_rpm, tire_pressure_psi
        from typed_setups
    )
    on preload_turns, counterweight_g, launch_rpm, tire_pressure_psi
    into name "column" value value
)

select
    *,
    lag(value) over by_car as value_before,
    lead(value) over by_car as value_after,
    (count(*) over by_setting) as times,
    median(value) over (partition by car, "column") as usual
from written_down
window
    by_car as (partition by car, "column" order by set_at, setup_id),
    by_setting as (partition by car, "column");
