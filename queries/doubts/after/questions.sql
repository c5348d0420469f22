-- Purpose: one question a cell: of the rules that doubt it, the strongest word, then the earlier rule.
--          Rows that repeat another are set aside, so nothing is asked about them.
-- Grain: one row per cell under question. Key: file, sheet, row, column.
-- Reads: doubles, findings, questions
insert into questions by name
select file, sheet, row, "column", reading, problem, suggestion, severity, rule
from findings
anti join questions using (file, sheet, row, "column")
anti join doubles using (file, sheet, row)
qualify row_number() over (
    partition by file, sheet, row, "column"
    order by list_position(['rejected', 'questioned', 'doubt'], severity), list_position($rules, rule), problem, suggestion
) = 1;
