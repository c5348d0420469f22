-- Purpose: what became of every row: read = kept + questioned + rejected + set_aside.
-- Grain: one row per sheet. Key: file, sheet.
create or replace table sheet_counts (
    file varchar,
    sheet varchar,
    kind varchar,
    "read" bigint,
    kept bigint,
    questioned bigint,
    rejected bigint,
    set_aside bigint
);
