-- Purpose: which of the seven numbers a car's tickets have, in their order: an eighth-mile strip prints no
--          1320 ft. A number counts that stands on three slips in ten; with few runs, on any slip at all.
-- Grain: one row per car and number. Key: car, column; place counts from 1 within the car.
create or replace temp table tickets as
with counted as (
    select
        car, count(*) as runs, count(t60_s) as t60_s, count(t330_s) as t330_s, count(t660_s) as t660_s,
        count(v660_mph) as v660_mph, count(t1000_s) as t1000_s, count(t1320_s) as t1320_s,
        count(v1320_mph) as v1320_mph
    from slip_sample
    group by car
),

by_number as (
    unpivot counted
    on t60_s, t330_s, t660_s, v660_mph, t1000_s, t1320_s, v1320_mph
    into name "column" value times
),

judged as (
    select *, sum(times) over (partition by "column") > 0 as is_ever from by_number
)

select j.car, j."column", k.low, k.high, row_number() over (partition by j.car order by k.place) as place
from judged as j
join slip_columns as k using ("column")
where j.times >= 0.3 * j.runs or (j.runs < 6 and j.is_ever);
