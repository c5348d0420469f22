-- Purpose: the middle time of each car at each event, to bring in times far from it before the first fit.
-- Grain: one row per car and event.
-- Key: event_key.
create or replace temp table fleet_middles as
select event_key, median(seconds) as middle
from fleet_rows
group by event_key;
