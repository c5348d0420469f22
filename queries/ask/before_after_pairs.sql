-- Question: what happened to the 60 ft time each time a setting was changed within one event?
-- Grain: one row per pair of neighbouring runs between which an adjustment changed.
select
    car,
    adjustment,
    event,
    value_before,
    value_after,
    round(difference_s, 3) as as_run_s,
    round(adjusted_s, 3) as on_equal_terms_s,
    also_changed
from before_after
where response = 't60'
order by car, adjustment, event, run_before;
