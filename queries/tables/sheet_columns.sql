-- Purpose: what each heading of each current sheet was read as.
-- Grain: one row per heading; "column" is null where nothing is read from it. Key: file, sheet, position.
create or replace table sheet_columns (
    file varchar,
    sheet varchar,
    position integer,
    heading varchar,
    "column" varchar,
    factor double,
    shift double
);
