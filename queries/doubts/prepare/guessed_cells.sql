-- Purpose: what each rule thinks a suspect slip should have said; filled by the rules, judged later.
-- Grain: one row per guess and cell it changes. Key: slip_id, rule, guess, column.
create or replace temp table guessed_cells (
    slip_id bigint, rule varchar, guess integer, "column" varchar, value double
);
