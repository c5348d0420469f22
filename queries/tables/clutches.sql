-- Purpose: the clutches of garage.toml. Grain: one row each. Reads the frame garage_clutches.
create or replace table clutches as
select *
from garage_clutches;
