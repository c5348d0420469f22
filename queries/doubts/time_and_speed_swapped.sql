-- Reason: time and speed at 660 or 1320 ft stand in each other's place.
-- Severity: questioned. Suggests: each in the other's place.
-- Reads: suspects
-- Makes: guessed_cells
-- Yields to: missing_decimal
insert into guessed_cells
select slip_id, 'time_and_speed_swapped', 1, unnest(['t660_s', 'v660_mph']), unnest([v660_mph, t660_s])
from suspects
where t660_s > v660_mph
union all
select slip_id, 'time_and_speed_swapped', 2, unnest(['t1320_s', 'v1320_mph']), unnest([v1320_mph, t1320_s])
from suspects
where t1320_s > v1320_mph;
