-- Purpose: one result of the modelling stages. Grain: that of its record.
-- Input: the frame `incoming`, from pipeline.store.results_tables.
create or replace table {{ of }} as
select *
from incoming;
