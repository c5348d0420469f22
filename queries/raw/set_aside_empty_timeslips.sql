-- Purpose: set aside lines of words without a date, and dated rows in which nothing is written.
-- Grain: rows of rows_timeslips, after the careful reading.
update rows_timeslips
set set_aside = case when "day" is null then 'a line of words' else 'nothing but the date' end
where
    set_aside is null
    and coalesce(reaction_s::varchar, t60_s::varchar, t330_s::varchar, t660_s::varchar, v660_mph::varchar, t1000_s::varchar, t1320_s::varchar, v1320_mph::varchar, launch_rpm::varchar, track_temp_degf::varchar, preload_turns::varchar, counterweight_g::varchar, tire_pressure_psi::varchar, outcome::varchar) is null and coalesce(len(map_keys(extras)), 0) = 0
    and not coalesce(list_bool_or(list_transform(odd, lambda cell: cell."column" not in ('date', 'time'))), false)
    and case
        when "day" is null then len(list_filter(undated, lambda cell: cell is not null)) = 1
        else notes is null
    end;
