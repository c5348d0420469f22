-- Purpose: headings nothing is read from. Grain: one row per heading.
select file, sheet, heading
from sheet_columns
where "column" is null
order by file, sheet, position;
