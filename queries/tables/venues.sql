-- Purpose: the venues of garage.toml. Grain: one row each. Reads the frame garage_venues.
create or replace table venues as
select *
from garage_venues;
