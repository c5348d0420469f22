-- Purpose: the suspect slips of the second look: those that nothing explained, as they stand, and those still
--          suspect once their best guess is taken for true (two errors in one row).
-- Grain: one row per slip that is looked at again. Key: slip_id.
-- Reads: best_guesses, guessed_cells, judged_guesses
-- Makes: suspects
create or replace temp table suspects as
with mended as (
    select
        s.slip_id, s.file, s.sheet, s.row, s.entry_order, s.car, s.outcome, s.lifted_after_ft,
        g.reaction_s, g.t60_s, g.t330_s, g.t660_s, g.v660_mph, g.t1000_s, g.t1320_s, g.v1320_mph,
        g.misfit, coalesce(g.worst, 0) as worst, g.car_runs, g.good_ft, g.is_impossible, true as is_second
    from best_guesses as b
    join suspects as s using (slip_id)
    join judged_guesses as g using (slip_id, rule, guess)
    where g.worst > 16 or g.is_impossible
)

select * from mended
union all
select * replace (true as is_second) from suspects
where slip_id not in (select slip_id from best_guesses);

delete from guessed_cells;
