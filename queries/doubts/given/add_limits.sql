-- Purpose: put the limits of one adjustment of a car down.
-- Grain: one row. Key: car, column.
insert into given_limits
values ($car, $column, $low, $high, $levers);
