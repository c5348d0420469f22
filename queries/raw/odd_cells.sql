-- Purpose: the cells that the quick reading could not read, for the careful one.
-- Grain: one row per cell. Key: sheet_no, row, column.
create or replace temp table odd_cells as
select sheet_no, file, sheet, "row", odd_cell."column", odd_cell."text"
from (
{% for table in sheets %}
    select sheet_no, file, sheet, "row", unnest(odd) as odd_cell
    from rows_{{ table.name }}
    where odd is not null and set_aside is null
    {{ 'union all' if not loop.last }}
{% endfor %}
);
