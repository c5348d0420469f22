-- Purpose: the rows that are another car's, so that one car's questions can be listed alone.
-- Grain: one row per slip, change or check of a car that has runs and is not $car. Key: file, sheet, row.
with others as (
    select distinct car
    from runs
    where car <> $car
)

select file, sheet, "row"
from typed_timeslips
where car in (from others)
union all
select file, sheet, "row"
from typed_setups
where car in (from others)
union all
select file, sheet, "row"
from typed_checks
where car in (from others);
