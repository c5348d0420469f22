-- Purpose: the slips to look at closely, with the outcome in two words. Grain: one row per suspect slip.
select
    slip_id, car, good_ft, is_impossible, outcome in ('spun', 'bogged') and outcome is not null as is_bad_start,
    reaction_s, t60_s, t330_s, t660_s, v660_mph, t1000_s, t1320_s, v1320_mph
from suspects
order by slip_id;
