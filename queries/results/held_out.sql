-- Purpose: how well events left out of the fit were predicted.
-- Grain: one row per car, response. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table held_out as
select *
from incoming;
