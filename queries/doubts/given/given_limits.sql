-- Purpose: the limits that garage.toml gives for each adjustment of each car; empty where it gives none.
-- Grain: one row per car described and built-in adjustment. Key: car, column.
create or replace temp table given_limits (
    car varchar, "column" varchar, low double, high double, levers integer
);
