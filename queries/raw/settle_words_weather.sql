-- Purpose: write names and set words one way; the parameters list spellings and the words meant.
-- Grain: rows of rows_weather.
update rows_weather
set
    venue = coalesce(($meant_venue::varchar[])[list_position($typed_venue::varchar[], venue)], venue),
    pressure_kind = coalesce(($meant_pressure_kind::varchar[])[list_position($typed_pressure_kind::varchar[], pressure_kind)], pressure_kind)
where
    list_contains($typed_venue::varchar[], venue)
    or list_contains($typed_pressure_kind::varchar[], pressure_kind);
