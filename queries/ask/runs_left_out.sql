-- Question: which runs are not used, and why?
-- Grain: one row per run left out of at least one split.
select car, run_at, event, t60_s, outcome, left_out_reason, notes, file, "row"
from runs
where left_out_reason is not null
order by car, run_at, file, sheet, "row";
