-- Purpose: put the range of one column down.
-- Grain: one row. Key: kind, column.
insert into plausible values ($kind, $column, $low, $high);
