-- Purpose: the middle time of each car at each event.
-- Grain: one row per car and event.
-- Key: event_key.
create or replace temp table fleet_middles as
select
    car_no,
    event_key,
    median(seconds) as middle
from fleet_rows
group by car_no, event_key;
