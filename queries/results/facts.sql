-- Purpose: how large each fit was, its spreads, and what was left out of it.
-- Grain: one row per car, response. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table facts as
select *
from incoming;
