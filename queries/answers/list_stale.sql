-- Question: which answers no longer count?
-- Grain: one row per answer.
select file, sheet, row, "column", value, answer, reason
from stale_answers
order by entry_order, file, sheet, row, "column";
