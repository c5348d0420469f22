-- Purpose: rows that repeat an earlier row, during one ingest. Grain: one row per repeated row.
create or replace table doubles (
    file varchar,
    sheet varchar,
    "row" integer,
    same_file varchar,
    same_sheet varchar,
    same_row integer
);
