-- Purpose: what a person answered, in sheets of answers. Grain: one row per answer, in order.
create or replace table answers (
    question_id varchar,
    file varchar,
    sheet varchar,
    "row" integer,
    "column" varchar,
    "value" varchar,
    answer varchar,
    entry_order bigint
);
