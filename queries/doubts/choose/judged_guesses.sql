-- Purpose: how well each guess fits the car's usual.
-- Grain: one row per guess. Key: slip_id, rule, guess.
-- Reads: guesses, slip_misfit
create or replace temp table judged_guesses as
select *
from slip_misfit('guesses');
