-- Purpose: cells that could not be read, or only with a doubt.
-- Grain: one row per cell. Key: file, sheet, row, column.
create or replace table bad_cells (
    file varchar,
    sheet varchar,
    "row" integer,
    "column" varchar,
    "value" varchar,
    problem varchar,
    suggestion varchar,
    severity varchar
);
