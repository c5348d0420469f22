-- Purpose: the cars that have runs. Grain: one row per car.
select distinct car
from runs
where car is not null
order by car;
