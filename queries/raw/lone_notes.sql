-- Purpose: notes beside which there is no outcome, in small letters; $most of them at most.
-- Grain: one row per note.
select distinct lower(notes) as notes
from rows_timeslips
where set_aside is null and outcome is null and notes is not null
limit $most;
