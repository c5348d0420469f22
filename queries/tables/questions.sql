-- Purpose: every entry that needs a second look. Grain: one row per doubtful entry. Key: question_id.
create or replace table questions (
    question_id varchar,
    file varchar,
    sheet varchar,
    "row" integer,
    "column" varchar,
    "value" varchar,
    reading varchar,
    problem varchar,
    suggestion varchar,
    severity varchar,
    answer varchar,
    "rule" varchar,
    group_id varchar
);
