-- Purpose: the rows of every track sheet as read; typed_track shows those that are data.
-- Grain: one row per row of a current sheet, headings and blanks included. Key: sheet_no, row.
-- odd: cells that the quick reading could not read. undated: all cells, where there is no date.
create or replace table rows_track (
    sheet_no integer,
    file varchar,
    sheet varchar,
    "row" integer,
    "day" date,
    clock_s integer,
    venue varchar,
    lane varchar,
    notes varchar,
    track_temp_degf double,
    odd struct("column" varchar, "text" varchar)[],
    undated varchar[],
    set_aside varchar
);
