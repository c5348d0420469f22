-- Purpose: outcomes that are not understood, as cells with a problem. Grain: one row per cell.
-- Reads the table outcome_readings, before the outcomes are settled.
insert into bad_cells by name
select
    slips.file,
    slips.sheet,
    slips."row",
    'outcome' as "column",
    slips.outcome as "value",
    found.problem,
    found.suggestion,
    'questioned' as severity
from rows_timeslips as slips
inner join outcome_readings as found
    on slips.outcome is not distinct from found.outcome and slips.notes is not distinct from found.notes
where found.problem <> '' and slips.set_aside is null;
