-- Reason: elapsed times rise down the strip; these do not, and rise again when two are exchanged.
-- Severity: questioned. Suggests: the two times in each other's place.
-- Reads: suspect_cells
-- Makes: guessed_cells
-- Yields to: time_and_speed_swapped
insert into guessed_cells
select a.slip_id, 'splits_not_rising', a.place * 10 + b.place,
    unnest([a."column", b."column"]), unnest([b.value, a.value])
from suspect_cells as a
join suspect_cells as b on a.slip_id = b.slip_id and a.place < b.place
where a.decimals = 3 and b.decimals = 3 and a.value > b.value
union all
select a.slip_id, 'splits_not_rising', 100 + a.place,
    unnest([a."column", b."column"]), unnest([b.value, a.value])
from suspect_cells as a
join suspect_cells as b on a.slip_id = b.slip_id
where a."column" = 'v660_mph' and b."column" = 'v1320_mph' and a.value > b.value;
