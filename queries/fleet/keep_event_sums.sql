-- Purpose: event sums worked out and kept, for sums at several ratios and for the events' levels.
-- Grain: one row per car and event.
-- Key: event_key.
create or replace temp table fleet_event_sums as
select * from fleet_event_sums_now;
