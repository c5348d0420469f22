-- Purpose: the plain fixed-effects regression beside ours.
-- Grain: one row per car, response, adjustment. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table cross_check as
select *
from incoming;
