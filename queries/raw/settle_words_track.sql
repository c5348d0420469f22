-- Purpose: write names and set words one way; the parameters list spellings and the words meant.
-- Grain: rows of rows_track.
update rows_track
set
    venue = coalesce(($meant_venue::varchar[])[list_position($typed_venue::varchar[], venue)], venue),
    lane = coalesce(($meant_lane::varchar[])[list_position($typed_lane::varchar[], lane)], lane)
where
    list_contains($typed_venue::varchar[], venue)
    or list_contains($typed_lane::varchar[], lane);
