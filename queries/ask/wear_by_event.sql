-- Question: how far has the ring grown, event by event, and what preload is left?
-- Grain: one row per car and event.
select
    car,
    event,
    min(run_date) as first_date,
    max(service_no) as service_no,
    round(max(ring_height_in), 4) as ring_height_in,
    round(max(wear_in), 4) as wear_in,
    round(min(preload_lb), 1) as least_preload_lb
from runs
group by car, event
order by car, first_date, event;
