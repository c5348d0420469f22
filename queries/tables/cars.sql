-- Purpose: the cars of garage.toml. Grain: one row each. Reads the frame garage_cars.
create or replace table cars as
select *
from garage_cars;
