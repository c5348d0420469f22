-- Purpose: the test runs last planned.
-- Grain: one row per car. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table test_plan as
select *
from incoming;
