-- Purpose: write names and set words one way; the parameters list spellings and the words meant.
-- Grain: rows of rows_checks.
update rows_checks
set
    car = coalesce(($meant_car::varchar[])[list_position($typed_car::varchar[], car)], car)
where
    list_contains($typed_car::varchar[], car);
