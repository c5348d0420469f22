-- Purpose: the rows of every checks sheet as read; typed_checks shows those that are data.
-- Grain: one row per row of a current sheet, headings and blanks included. Key: sheet_no, row.
-- odd: cells that the quick reading could not read. undated: all cells, where there is no date.
create or replace table rows_checks (
    sheet_no integer,
    file varchar,
    sheet varchar,
    "row" integer,
    "day" date,
    clock_s integer,
    car varchar,
    notes varchar,
    ring_height_in double,
    shim_removed_in double,
    bearing_clearance_in double,
    disc_thickness_in double,
    ring_heights_in double[],
    odd struct("column" varchar, "text" varchar)[],
    undated varchar[],
    set_aside varchar
);
