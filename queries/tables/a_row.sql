-- Purpose: whether {{ of }} holds any row. Grain: one row, or none.
select 1
from {{ of }}
limit 1;
