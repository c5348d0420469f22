-- Purpose: the clutch's wear state and its services.
-- Grain: one row per car. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table wear as
select *
from incoming;
