-- Purpose: answers as values of their columns, during one ingest. Grain: one row per answered question.
create or replace table answered (
    file varchar,
    sheet varchar,
    "row" integer,
    "column" varchar,
    is_left_out boolean,
    is_number boolean,
    number double,
    several double[],
    is_words boolean,
    words varchar,
    "day" date,
    clock_s integer
);
