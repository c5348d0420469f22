-- Reason: a number stands in the column beside its own, which was left empty.
-- Severity: questioned. Suggests: the number one column back (or on), and this cell empty.
-- Reads: suspect_tickets, suspects
-- Makes: guessed_cells
-- Yields to: shifted_row
insert into guessed_cells
select slip_id, 'next_column', place * 10, unnest(["column", column_after]), unnest([value_after, null])
from suspect_tickets
where value is null and value_after between low and high
union all
select slip_id, 'next_column', place * 10 + 1, unnest(["column", column_before]), unnest([value_before, null])
from suspect_tickets
where value is null and value_before between low and high
union all
select slip_id, 'next_column', 99, unnest(['t60_s', 'reaction_s']), unnest([reaction_s, null])
from suspects
where t60_s is null and reaction_s between {{ columns.timeslips.t60_s.low }} and {{ columns.timeslips.t60_s.high }};
