-- Purpose: every guess as a whole slip, so that it can be judged like one; a change of one cell only when
--          the ties of that cell are then within five widths (the second look takes more, for two errors).
-- Grain: one row per suspect slip, rule and guess. Key: slip_id, rule, guess.
create or replace temp table guesses as
with of_one_cell as (
    select
        s.* replace (
            if(g."column" = 't60_s', g.value, t60_s) as t60_s,
            if(g."column" = 't330_s', g.value, t330_s) as t330_s,
            if(g."column" = 't660_s', g.value, t660_s) as t660_s,
            if(g."column" = 'v660_mph', g.value, v660_mph) as v660_mph,
            if(g."column" = 't1000_s', g.value, t1000_s) as t1000_s,
            if(g."column" = 't1320_s', g.value, t1320_s) as t1320_s,
            if(g."column" = 'v1320_mph', g.value, v1320_mph) as v1320_mph
        ),
        g.rule, g.guess, g."column" as changed
    from guessed_cells as g
    join suspects as s using (slip_id)
    where g.rule in ('missing_decimal', 'swapped_digits', 'wrong_digit', 'does_not_fit')
),

changes as (
    select
        slip_id, rule, guess,
        bool_or("column" = 'reaction_s') as to_reaction,
        max(value) filter ("column" = 't60_s') as t60_s, bool_or("column" = 't60_s') as to_t60,
        max(value) filter ("column" = 't330_s') as t330_s, bool_or("column" = 't330_s') as to_t330,
        max(value) filter ("column" = 't660_s') as t660_s, bool_or("column" = 't660_s') as to_t660,
        max(value) filter ("column" = 'v660_mph') as v660_mph, bool_or("column" = 'v660_mph') as to_v660,
        max(value) filter ("column" = 't1000_s') as t1000_s, bool_or("column" = 't1000_s') as to_t1000,
        max(value) filter ("column" = 't1320_s') as t1320_s, bool_or("column" = 't1320_s') as to_t1320,
        max(value) filter ("column" = 'v1320_mph') as v1320_mph, bool_or("column" = 'v1320_mph') as to_v1320
    from guessed_cells
    where rule not in ('missing_decimal', 'swapped_digits', 'wrong_digit', 'does_not_fit')
    group by slip_id, rule, guess
),

of_several_cells as (
    select
        s.* replace (
            if(to_reaction, null, s.reaction_s) as reaction_s,
            if(to_t60, c.t60_s, s.t60_s) as t60_s,
            if(to_t330, c.t330_s, s.t330_s) as t330_s,
            if(to_t660, c.t660_s, s.t660_s) as t660_s,
            if(to_v660, c.v660_mph, s.v660_mph) as v660_mph,
            if(to_t1000, c.t1000_s, s.t1000_s) as t1000_s,
            if(to_t1320, c.t1320_s, s.t1320_s) as t1320_s,
            if(to_v1320, c.v1320_mph, s.v1320_mph) as v1320_mph
        ),
        c.rule, c.guess, null as changed
    from changes as c
    join suspects as s using (slip_id)
),

every_guess as (
    select * from of_one_cell
    union all by name
    select * from of_several_cells
)

select
    g.* exclude (changed, misfit, worst, is_impossible, good_ft, car_runs, file, sheet, row, entry_order),
    g.misfit as misfit_before, g.is_impossible as was_impossible
from every_guess as g
join slip_usual as u on u.car is not distinct from g.car
where
    changed is null
    or (is_second and rule <> 'wrong_digit')
    or g.good_ft < 1320
    or coalesce(outcome in ('spun', 'bogged'), false)
    or coalesce(
        (
            changed not in ('t60_s', 't330_s')
            or abs(t330_s - t60_s - m_330 * t60_s) < 5 * w_330 * abs(t60_s)
        )
        and (
            changed not in ('t330_s', 't660_s')
            or abs(t660_s - t330_s - m_660 * (t330_s - t60_s)) < 5 * w_660 * abs(t330_s - t60_s)
        )
        and (
            changed not in ('t330_s', 't660_s', 'v660_mph')
            or abs(v660_mph * (t660_s - t330_s) - 225.0 * m_trap660) < 1125.0 * w_trap660
        )
        and (
            changed not in ('t660_s', 't1000_s')
            or abs(t1000_s - t660_s - m_1000 * (t660_s - t330_s)) < 5 * w_1000 * abs(t660_s - t330_s)
        )
        and (
            changed not in ('t1000_s', 't1320_s')
            or abs(t1320_s - t1000_s - m_1320 * (t1000_s - t660_s)) < 5 * w_1320 * abs(t1000_s - t660_s)
        )
        and (
            changed not in ('t1000_s', 't1320_s', 'v1320_mph')
            or abs(v1320_mph * (t1320_s - t1000_s) - 218.2 * m_trap1320) < 1091.0 * w_trap1320
        ),
        true
    );
