-- Purpose: effects again without spun and bogged runs.
-- Grain: one row per car, response, adjustment. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table sensitivity as
select *
from incoming;
