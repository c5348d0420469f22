-- Purpose: every recognised cell as typed, during one ingest. Grain: one row per cell that is not blank.
create or replace temp table entries (
    file varchar,
    sheet varchar,
    "row" integer,
    "column" varchar,
    "value" varchar
);
