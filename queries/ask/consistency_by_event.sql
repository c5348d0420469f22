-- Question: how repeatable was each event's 60 ft time?
-- Grain: one row per car and event.
select
    car,
    event,
    min(run_date) as first_date,
    count(*) as runs,
    round(min(t60_s), 3) as best_t60_s,
    round(median(t60_s), 3) as typical_t60_s,
    round(1.4826 * mad(t60_s), 4) as robust_sd_s
from runs
where use_t60
group by car, event
order by car, first_date, event;
