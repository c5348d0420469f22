-- Purpose: the effect curve of each adjustment.
-- Grain: one row per car, response, adjustment, value. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table curves as
select *
from incoming;
