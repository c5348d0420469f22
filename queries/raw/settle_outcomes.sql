-- Purpose: write outcomes in the set words, and after which split a run was spoiled.
-- Grain: rows of rows_timeslips. Reads the table outcome_readings, one row per outcome and notes.
update rows_timeslips
set outcome = found.word, lifted_after_ft = found.last_good_ft
from outcome_readings as found
where
    rows_timeslips.outcome is not distinct from found.outcome
    and rows_timeslips.notes is not distinct from found.notes
    and rows_timeslips.set_aside is null;
