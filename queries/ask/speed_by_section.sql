-- Question: where on the track is the time gained, quickest ten runs against the rest?
-- Grain: one row per car and group of runs.
with ranked as (
    select *, row_number() over (partition by car order by t60_s, run_id) as place
    from runs
    where use_t330
)

select
    car,
    if(place <= 10, 'quickest ten', 'the rest') as which_runs,
    count(*) as runs,
    round(avg(t60_s order by t60_s), 3) as t60_s,
    round(avg(t60_330_s order by t60_330_s), 3) as t60_330_s,
    round(avg(t330_660_s order by t330_660_s), 3) as t330_660_s,
    round(avg(v660_mph order by v660_mph), 2) as v660_mph
from ranked
group by all
order by car, t60_s, which_runs;
