-- Purpose: put what the careful reading found into rows_weather.
-- Grain: one row per row with such a cell. Reads the table mended_cells.
update rows_weather
set
    "day" = coalesce(rows_weather."day", found."day"),
    clock_s = coalesce(rows_weather.clock_s, found.clock_s),
    air_temp_degf = coalesce(rows_weather.air_temp_degf, found.air_temp_degf),
    pressure_inhg = coalesce(rows_weather.pressure_inhg, found.pressure_inhg),
    humidity_pct = coalesce(rows_weather.humidity_pct, found.humidity_pct),
    dew_point_degf = coalesce(rows_weather.dew_point_degf, found.dew_point_degf),
    wet_bulb_degf = coalesce(rows_weather.wet_bulb_degf, found.wet_bulb_degf),
    grains = coalesce(rows_weather.grains, found.grains),
    wind_speed_mph = coalesce(rows_weather.wind_speed_mph, found.wind_speed_mph)
from (
    select
        sheet_no,
        "row",
        max("day") as "day",
        max(clock_s) as clock_s,
        max(number) filter (where "column" = 'air_temp_degf') as air_temp_degf,
        max(number) filter (where "column" = 'pressure_inhg') as pressure_inhg,
        max(number) filter (where "column" = 'humidity_pct') as humidity_pct,
        max(number) filter (where "column" = 'dew_point_degf') as dew_point_degf,
        max(number) filter (where "column" = 'wet_bulb_degf') as wet_bulb_degf,
        max(number) filter (where "column" = 'grains') as grains,
        max(number) filter (where "column" = 'wind_speed_mph') as wind_speed_mph
    from mended_cells
    group by sheet_no, "row"
) as found
where rows_weather.sheet_no = found.sheet_no and rows_weather."row" = found."row";
