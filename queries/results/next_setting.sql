-- Purpose: the setting last suggested, beside staying put.
-- Grain: one row per car. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table next_setting as
select *
from incoming;
