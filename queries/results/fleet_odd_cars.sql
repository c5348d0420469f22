-- Purpose: cars that differ from their kind.
-- Grain: one row per clutch_type, response, car, adjustment. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table fleet_odd_cars as
select *
from incoming;
