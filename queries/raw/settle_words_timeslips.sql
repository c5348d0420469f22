-- Purpose: write names and set words one way; the parameters list spellings and the words meant.
-- Grain: rows of rows_timeslips.
update rows_timeslips
set
    car = coalesce(($meant_car::varchar[])[list_position($typed_car::varchar[], car)], car),
    venue = coalesce(($meant_venue::varchar[])[list_position($typed_venue::varchar[], venue)], venue),
    lane = coalesce(($meant_lane::varchar[])[list_position($typed_lane::varchar[], lane)], lane)
where
    list_contains($typed_car::varchar[], car)
    or list_contains($typed_venue::varchar[], venue)
    or list_contains($typed_lane::varchar[], lane);
