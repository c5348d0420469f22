-- Reason: the decimal point is missing or misplaced: 1482 for 1.482.
-- Severity: questioned. Suggests: the number with the point moved, when that fits the rest of the slip.
-- Reads: suspect_cells
-- Makes: guessed_cells
-- Yields to: doubles_differ
insert into guessed_cells
select slip_id, 'missing_decimal', tens, "column", round(value / 10 ** tens, 4)
from suspect_cells, (values (1), (2), (3), (-1)) as moved (tens)
where round(value / 10 ** tens, 4) between low and high;
