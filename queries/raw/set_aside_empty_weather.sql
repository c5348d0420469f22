-- Purpose: set aside lines of words without a date, and dated rows in which nothing is written.
-- Grain: rows of rows_weather, after the careful reading.
update rows_weather
set set_aside = case when "day" is null then 'a line of words' else 'nothing but the date' end
where
    air_temp_degf is null
    and pressure_inhg is null
    and humidity_pct is null
    and dew_point_degf is null
    and wet_bulb_degf is null
    and grains is null
    and wind_speed_mph is null
    and set_aside is null
    and not coalesce(list_bool_or(list_transform(odd, lambda cell: cell."column" not in ('date', 'time'))), false)
    and case
        when "day" is null then len(list_filter(undated, lambda cell: cell is not null)) = 1
        else notes is null
    end;
