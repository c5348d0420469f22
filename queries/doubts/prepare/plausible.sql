-- Purpose: the range of each number as the dictionary gives it.
-- Grain: one row per kind of sheet and column. Key: kind, column.
create or replace temp table plausible (kind varchar, "column" varchar, low double, high double);
