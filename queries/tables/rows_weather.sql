-- Purpose: the rows of every weather sheet as read; typed_weather shows those that are data.
-- Grain: one row per row of a current sheet, headings and blanks included. Key: sheet_no, row.
-- odd: cells that the quick reading could not read. undated: all cells, where there is no date.
create or replace table rows_weather (
    sheet_no integer,
    file varchar,
    sheet varchar,
    "row" integer,
    "day" date,
    clock_s integer,
    venue varchar,
    pressure_kind varchar,
    wind_from varchar,
    notes varchar,
    air_temp_degf double,
    pressure_inhg double,
    humidity_pct double,
    dew_point_degf double,
    wet_bulb_degf double,
    grains double,
    wind_speed_mph double,
    odd struct("column" varchar, "text" varchar)[],
    undated varchar[],
    set_aside varchar
);
