-- Purpose: effects over the fleet, and how much cars differ.
-- Grain: one row per clutch_type, response, adjustment. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table fleet_effects as
select *
from incoming;
