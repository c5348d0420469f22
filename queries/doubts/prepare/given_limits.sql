-- Purpose: the limits that garage.toml gives for each car and its clutch; empty where it gives none.
-- Grain: one row per car described. Key: car.
create or replace temp table given_limits (
    car varchar, low_rpm double, high_rpm double, safe_turns double, levers integer, screws integer,
    low_g double, high_g double, low_psi double, high_psi double, ring_new_in double
);
