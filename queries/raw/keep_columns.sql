-- Purpose: note what the headings of a sheet were read as. Grain: one row per heading.
insert into sheet_columns by name
select *
from headed_columns;
