-- Question: which sheets need a second look, and what is wrong in them?
-- Grain: one row per file, sheet, column and problem.
select file, sheet, "column", problem, severity, count(*) as entries
from questions
group by all
order by entries desc, file, sheet, "column", problem, severity;
