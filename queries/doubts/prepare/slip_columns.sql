-- Purpose: the seven numbers of a slip in the order they stand on the ticket, with the range no slip
--          leaves (as in the dictionary), decimals and plain names.
-- Grain: one row per column. Key: column.
create or replace temp table slip_columns as
select *
from (
    values
    ('t60_s', 1, 0.7, 6.0, 3, '60 ft'),
    ('t330_s', 2, 2.2, 20.0, 3, '330 ft'),
    ('t660_s', 3, 3.4, 30.0, 3, '660 ft'),
    ('v660_mph', 4, 40.0, 260.0, 2, '660 mph'),
    ('t1000_s', 5, 4.5, 40.0, 3, '1000 ft'),
    ('t1320_s', 6, 5.5, 45.0, 3, '1320 ft'),
    ('v1320_mph', 7, 50.0, 340.0, 2, '1320 mph')
) as slip_column ("column", place, low, high, decimals, spoken);
