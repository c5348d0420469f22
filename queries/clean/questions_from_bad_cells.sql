-- Purpose: a cell that could not be read is a question. Grain: one row per cell.
insert into questions by name
select
    md5(concat_ws('|', file, sheet, "row", "column", "value")) as question_id,
    file,
    sheet,
    "row",
    "column",
    "value",
    problem,
    suggestion,
    severity,
    'unreadable' as "rule"
from bad_cells
order by file, sheet, "row", "column";
