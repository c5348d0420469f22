-- Purpose: the counts of every sheet, in the order of the logbook. Grain: one row per sheet.
select file, sheet, kind, "read", kept, questioned, rejected, set_aside
from sheet_counts
order by file, sheet;
