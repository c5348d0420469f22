-- Reason: one digit is wrong: 2.951 for 3.951. Only the digits before the point and the first after it,
--         where a slip of the pen can be told from an honest run.
-- Severity: questioned. Suggests: the number with that digit put right, when that fits the rest of the slip.
-- Reads: suspect_cells
-- Makes: guessed_cells
-- Look: second
-- Yields to: next_column
insert into guessed_cells
with changed as (
    select
        slip_id, "column", low, high,
        round(value + (digit - floor(value / size) % 10) * size, decimals) as value,
        value as written
    from suspect_cells, range(0, 10) as digits (digit), (values (0.1), (1.0), (10.0)) as sizes (size)
    where value between low * 0.3 and high and size <= if(decimals = 2, 10, 1) and size >= if(decimals = 2, 1, 0.1)
)

select slip_id, 'wrong_digit', row_number() over (partition by slip_id order by "column", value), "column", value
from changed
where value between low and high and value <> written;
