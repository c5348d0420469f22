-- Purpose: each car alone and with the fleet behind it.
-- Grain: one row per clutch_type, response, car, adjustment. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table fleet_car_effects as
select *
from incoming;
