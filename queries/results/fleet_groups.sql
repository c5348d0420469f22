-- Purpose: how large each pooled clutch type is.
-- Grain: one row per clutch_type, response. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table fleet_groups as
select *
from incoming;
