-- Reason: the number cannot be true beside the others of the slip, and no slip of the pen explains it.
-- Severity: questioned. Suggests: nothing; look at the ticket.
-- Reads: suspect_cells, suspects
-- Makes: guessed_cells
-- Look: second
-- Yields to: wrong_digit
insert into guessed_cells
select slip_id, 'does_not_fit', place, "column", null
from suspect_cells
join suspects using (slip_id)
where suspects.is_impossible;
