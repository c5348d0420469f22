-- Purpose: what each heading of each current sheet was read as.
-- why: how it was known, where the heading alone does not say it; empty else.
-- Grain: one row per heading; "column" is null where nothing is read from it. Key: file, sheet, position.
create or replace table sheet_columns (
    file varchar,
    sheet varchar,
    position integer,
    heading varchar,
    "column" varchar,
    factor double,
    shift double,
    why varchar
);
