-- Purpose: what the fit has to say in plain words, in order.
-- Grain: one row per car, position. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table sentences as
select *
from incoming;
