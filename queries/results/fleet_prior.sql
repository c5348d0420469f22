-- Purpose: the stored prior, coefficient by coefficient.
-- Grain: one row per clutch_type, response, coefficient. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table fleet_prior as
select *
from incoming;
