-- Purpose: cars whose entries are doubtful more often than others'.
-- Grain: one row per car. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table fleet_typing_trouble as
select *
from incoming;
