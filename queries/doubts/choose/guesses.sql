-- Purpose: every guess as a whole slip, so that it can be judged like one.
-- Grain: one row per suspect slip, rule and guess. Key: slip_id, rule, guess.
create or replace temp table guesses as
with changes as (
    select
        slip_id, rule, guess, count(*) as changed,
        count(value) as filled,
        bool_or("column" = 'reaction_s') as to_reaction,
        max(value) filter ("column" = 't60_s') as t60_s, bool_or("column" = 't60_s') as to_t60,
        max(value) filter ("column" = 't330_s') as t330_s, bool_or("column" = 't330_s') as to_t330,
        max(value) filter ("column" = 't660_s') as t660_s, bool_or("column" = 't660_s') as to_t660,
        max(value) filter ("column" = 'v660_mph') as v660_mph, bool_or("column" = 'v660_mph') as to_v660,
        max(value) filter ("column" = 't1000_s') as t1000_s, bool_or("column" = 't1000_s') as to_t1000,
        max(value) filter ("column" = 't1320_s') as t1320_s, bool_or("column" = 't1320_s') as to_t1320,
        max(value) filter ("column" = 'v1320_mph') as v1320_mph, bool_or("column" = 'v1320_mph') as to_v1320
    from guessed_cells
    group by slip_id, rule, guess
)

select
    c.slip_id, c.rule, c.guess, c.changed, c.filled, s.car, s.outcome, s.lifted_after_ft,
    if(to_reaction, null, s.reaction_s) as reaction_s,
    if(to_t60, c.t60_s, s.t60_s) as t60_s,
    if(to_t330, c.t330_s, s.t330_s) as t330_s,
    if(to_t660, c.t660_s, s.t660_s) as t660_s,
    if(to_v660, c.v660_mph, s.v660_mph) as v660_mph,
    if(to_t1000, c.t1000_s, s.t1000_s) as t1000_s,
    if(to_t1320, c.t1320_s, s.t1320_s) as t1320_s,
    if(to_v1320, c.v1320_mph, s.v1320_mph) as v1320_mph,
    s.misfit as misfit_before, s.is_impossible as was_impossible
from changes as c
join suspects as s using (slip_id);
