-- Purpose: the tables and views of the store. Grain: one row per table.
select table_name
from information_schema.tables
where table_schema = 'main'
order by table_name;
