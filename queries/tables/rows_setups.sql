-- Purpose: the rows of every setups sheet as read; typed_setups shows those that are data.
-- Grain: one row per row of a current sheet, headings and blanks included. Key: sheet_no, row.
-- odd: cells that the quick reading could not read. undated: all cells, where there is no date.
create or replace table rows_setups (
    sheet_no integer,
    file varchar,
    sheet varchar,
    "row" integer,
    "day" date,
    clock_s integer,
    car varchar,
    notes varchar,
    preload_turns double,
    counterweight_g double,
    launch_rpm double,
    tire_pressure_psi double,
    preload_screws double[],
    extras map(varchar, double),
    odd struct("column" varchar, "text" varchar)[],
    undated varchar[],
    set_aside varchar
);
