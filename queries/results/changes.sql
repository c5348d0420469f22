-- Purpose: what moved the mean time between two sets of runs.
-- Grain: one row per car, response, title. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table changes as
select *
from incoming;
