-- Purpose: the numbers of the suspect slips one under the other, with the least and most each may be and
--          the decimals it is written with.
-- Grain: one row per suspect slip and number written. Key: slip_id, column.
-- Reads: slip_columns, suspects
create or replace temp table suspect_cells as
with cells as (
    unpivot suspects
    on {{ timeslips.of_role('ticket') | map(attribute='name') | join(', ') }}
    into name "column" value value
)

select cells.slip_id, cells."column", cells.value, k.place, k.low, k.high, k.decimals
from cells
join slip_columns as k using ("column");
