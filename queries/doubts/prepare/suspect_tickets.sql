-- Purpose: the suspect slips as tickets: every number the car's tickets have, empty cells too, with the cells
--          before and after.
-- Grain: one row per suspect slip and number of its ticket. Key: slip_id, column.
-- Reads: suspect_cells, suspects, tickets
create or replace temp table suspect_tickets as
select
    s.slip_id, t."column", t.place, t.low, t.high, c.value,
    lag(t."column") over along as column_before, lag(c.value) over along as value_before,
    lead(t."column") over along as column_after, lead(c.value) over along as value_after,
    last_value(c.value) over (along rows between unbounded preceding and unbounded following) as value_last
from suspects as s
join tickets as t on t.car is not distinct from s.car
left join suspect_cells as c on c.slip_id = s.slip_id and c."column" = t."column"
window along as (partition by s.slip_id order by t.place);
