-- Purpose: the effect of each adjustment per practical step, with verdict.
-- Grain: one row per car, response, adjustment. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table effects as
select *
from incoming;
