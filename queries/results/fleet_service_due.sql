-- Purpose: cars due for service.
-- Grain: one row per car. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table fleet_service_due as
select *
from incoming;
