-- Purpose: set aside lines of words without a date, and dated rows in which nothing is written.
-- Grain: rows of rows_checks, after the careful reading.
update rows_checks
set set_aside = case when "day" is null then 'a line of words' else 'nothing but the date' end
where
    ring_height_in is null
    and shim_removed_in is null
    and bearing_clearance_in is null
    and disc_thickness_in is null
    and set_aside is null
    and not coalesce(list_bool_or(list_transform(odd, lambda cell: cell."column" not in ('date', 'time'))), false)
    and case
        when "day" is null then len(list_filter(undated, lambda cell: cell is not null)) = 1
        else notes is null
    end;
