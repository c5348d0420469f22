-- Purpose: each run against what was expected of it.
-- Grain: one row per car, response, run_id. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table run_checks as
select *
from incoming;
