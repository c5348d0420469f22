-- Purpose: each event's own level against the car's usual.
-- Grain: one row per car, response, event. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table nights as
select *
from incoming;
