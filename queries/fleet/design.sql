-- Purpose: the runs to be summed, about the fixed reference.
-- Grain: one row per run.
-- Key: none.
create or replace temp view fleet_design as
select * from fleet_weighted;
