-- Purpose: the version of the store's layout. Grain: one row.
select value
from store_facts
where fact = 'store_version';
