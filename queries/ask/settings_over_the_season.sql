-- Question: what did the setting look like, event by event?
-- Grain: one row per car and event.
select
    car,
    event,
    min(run_date) as first_date,
    round(min(preload_turns), 2) as least_turns,
    round(max(preload_turns), 2) as most_turns,
    min(counterweight_g) as least_counterweight_g,
    max(counterweight_g) as most_counterweight_g,
    min(launch_rpm) as least_rpm,
    max(launch_rpm) as most_rpm
from runs
group by car, event
order by car, first_date, event;
