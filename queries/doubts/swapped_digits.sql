-- Reason: two digits side by side changed places: 1.842 for 1.482.
-- Severity: questioned. Suggests: the number with the two put back, when that fits the rest of the slip.
-- Reads: suspect_cells, swapped
-- Makes: guessed_cells
-- Yields to: splits_not_rising
insert into guessed_cells
with turned as (
    select slip_id, "column", low, high, unnest(swapped(value, decimals)) as value
    from suspect_cells
    where value < 1000
)

select slip_id, 'swapped_digits', row_number() over (partition by slip_id order by "column", value), "column", value
from turned
where value between low and high;
