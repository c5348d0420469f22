-- Purpose: set aside lines of words without a date, and dated rows in which nothing is written.
-- Grain: rows of rows_setups, after the careful reading.
update rows_setups
set set_aside = case when "day" is null then 'a line of words' else 'nothing but the date' end
where
    preload_turns is null
    and counterweight_g is null
    and launch_rpm is null
    and tire_pressure_psi is null
    and coalesce(len(map_keys(extras)), 0) = 0
    and set_aside is null
    and not coalesce(list_bool_or(list_transform(odd, lambda cell: cell."column" not in ('date', 'time'))), false)
    and case
        when "day" is null then len(list_filter(undated, lambda cell: cell is not null)) = 1
        else notes is null
    end;
