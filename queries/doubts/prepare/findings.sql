-- Purpose: what the rules found, before one question a cell is made of it.
-- Grain: one row per rule and cell. Key: rule, file, sheet, row, column.
create or replace temp table findings (
    file varchar, sheet varchar, row integer, "column" varchar, reading varchar, problem varchar,
    suggestion varchar, severity varchar, rule varchar
);
