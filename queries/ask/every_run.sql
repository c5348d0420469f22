-- Question: what did each run have, what was expected of it, how far off did it come, and why was it left out?
-- Grain: one row per run; those farthest outside their own bar first.
select
    car,
    run_date,
    event,
    run_of_event,
    t60_s,
    round(expected_t60_s, 3) as expected_t60_s,
    round(1000 * off_by_s, 0)::integer as off_by_thousandths,
    own_bar,
    outcome,
    left_out_reason
from every_run
order by abs(off_by_s) desc nulls last, car, run_id;
