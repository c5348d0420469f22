-- Purpose: each run's place on an effect curve.
-- Grain: one row per car, response, adjustment, run_id. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table partial_residuals as
select *
from incoming;
