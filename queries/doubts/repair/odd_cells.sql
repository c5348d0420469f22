-- Purpose: the cells of those slips that are asked about whatever the other numbers say: no number, or of
--          another length than their sheet writes. Grain: one row per cell.
select slip_id, "column", text, oddity
from odd_slip_cells
where slip_id in (select slip_id from suspects);
