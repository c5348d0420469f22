-- Purpose: the data rows of every current weather sheet, each value in its canonical unit.
-- A reading without a time stands at noon.
-- Grain: one row per data row. Key: reading_id, which follows the order of sheets and rows.
create or replace view typed_weather as
select
    sheet_no::bigint * 100000000 + "row" as reading_id,
    file,
    sheet,
    "row",
    venue,
    "day" + to_seconds(coalesce(clock_s, 43200)) as read_at,
    air_temp_degf,
    pressure_inhg,
    pressure_kind,
    humidity_pct,
    dew_point_degf,
    wet_bulb_degf,
    grains,
    wind_speed_mph,
    wind_from,
    notes,
    clock_s
from rows_weather
where set_aside is null;
