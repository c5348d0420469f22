-- Reason: from one column on, every number stands one column too far to the right (one cell was skipped
--         or typed twice) or to the left (one was left out).
-- Severity: questioned. Suggests: the row moved back; what fell off the end stays empty.
-- Reads: suspect_tickets
-- Makes: guessed_cells
-- Yields to: swapped_digits
insert into guessed_cells
select a.slip_id, 'shifted_row', a.place * 10, b."column", b.value_after
from suspect_tickets as a
join suspect_tickets as b on b.slip_id = a.slip_id and b.place >= a.place
where a.value is null or a.value = a.value_after or a.value = a.value_before
union all
select a.slip_id, 'shifted_row', a.place * 10 + 1, b."column", if(b.place = a.place, null, b.value_before)
from suspect_tickets as a
join suspect_tickets as b on b.slip_id = a.slip_id and b.place >= a.place
where a.value_last is null;
