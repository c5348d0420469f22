-- Purpose: the slips that are still suspect once their best guess is taken for true: two errors in one row.
-- Grain: one row per slip that is looked at again. Key: slip_id.
create or replace temp table suspects as
with mended as (
    select
        s.slip_id, s.file, s.sheet, s.row, s.entry_order, s.car, s.outcome, s.lifted_after_ft,
        g.reaction_s, g.t60_s, g.t330_s, g.t660_s, g.v660_mph, g.t1000_s, g.t1320_s, g.v1320_mph,
        m.misfit, coalesce(m.worst, 0) as worst, m.car_runs, m.good_ft, m.is_impossible
    from best_guesses as b
    join suspects as s using (slip_id)
    join guesses as g using (slip_id, rule, guess)
    join slip_misfit('guesses') as m using (slip_id, rule, guess)
    where b.rule <> 'does_not_fit'
)

select *
from mended
where worst > 16 or is_impossible;
