-- Purpose: the adjustments of garage.toml. Grain: one row each. Reads the frame garage_adjustments.
create or replace table adjustments as
select *
from garage_adjustments;
