-- Purpose: what is wrong with whole files, sheets and headings. Grain: one row per problem.
create or replace table sheet_problems (
    file varchar,
    sheet varchar,
    problem varchar
);
