-- Question: which adjustment moved each early-track time, and by how much a step?
-- Grain: one row per car, response and adjustment.
select
    car,
    response,
    label,
    step,
    round(1000 * per_step_s, 1) as thousandths_per_step,
    round(1000 * low_s, 1) as low,
    round(1000 * high_s, 1) as high,
    verdict,
    apart_from
from effects
order by car, response, abs(per_step_s) desc nulls last, adjustment;
