-- Purpose: runs that show how the numbers of a slip go together, for the cars of the suspect slips: at most some
--          four hundred a car, by lot, none of them impossible and none spoiled before its end.
-- Grain: one row per run.
select car, t60_s, t330_s, t660_s, v660_mph, t1000_s, t1320_s, v1320_mph
from slip_sample
where
    (car in (select car from suspects) or (car is null and exists (select 1 from suspects where car is null)))
    and (outcome is null or outcome not in ('spun', 'bogged'))
    and slip_id not in (select slip_id from suspects where is_impossible)
qualify row_number() over (partition by car order by hash(slip_id)) <= 400
order by car, slip_id;
