-- Purpose: which of the seven numbers a car's tickets have, in their order: an eighth-mile strip prints no
--          1320 ft. A number counts that stands on three slips in ten; with few runs, on any slip at all.
-- Grain: one row per car and number. Key: car, column; place counts from 1 within the car.
-- Reads: slip_columns, slip_sample
create or replace temp table tickets as
with counted as (
    select
        car, count(*) as runs{% for number in timeslips.of_role('ticket') %}, count({{ number.name }}) as {{ number.name }}{% endfor %}

    from slip_sample
    group by car
),

by_number as (
    unpivot counted
    on {{ timeslips.of_role('ticket') | map(attribute='name') | join(', ') }}
    into name "column" value times
),

judged as (
    select *, sum(times) over (partition by "column") > 0 as is_ever from by_number
)

select j.car, j."column", k.low, k.high, row_number() over (partition by j.car order by k.place) as place
from judged as j
join slip_columns as k using ("column")
where j.times >= 0.3 * j.runs or (j.runs < 6 and j.is_ever);
