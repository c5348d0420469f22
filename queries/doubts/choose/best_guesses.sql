-- Purpose: the guess that makes a suspect slip look most like the car's other runs. A guess counts when
--          the slip then holds together and is far better than before; rarer slips of the pen must do
--          better to be believed. Where nothing helps an impossible slip, the cell that fits least.
--          A guess that leaves the slip impossible counts only when it mends most: the second look finds
--          the other error.
-- Grain: one row per suspect slip that has such a guess. Key: slip_id.
-- Reads: judged_guesses
create or replace temp table best_guesses as
with judged as (
    select
        slip_id, rule, guess, misfit_before, misfit, coalesce(worst, 0) as worst, was_impossible, is_impossible,
        case rule
            when 'missing_decimal' then 0
            when 'time_and_speed_swapped' then 0
            when 'splits_not_rising' then 3
            when 'swapped_digits' then 4
            when 'shifted_row' then 8
            when 'next_column' then 10
            when 'wrong_digit' then 16
            else 30
        end as rarity
    from judged_guesses
)

select slip_id, rule, guess, misfit_before, misfit
from judged
where
    (not is_impossible or (was_impossible and misfit + 300 < misfit_before and rule <> 'does_not_fit'))
    and misfit + rarity + 20 < misfit_before + if(was_impossible, 100, 0)
    and (was_impossible or worst <= 25)
    and (was_impossible or misfit < 0.3 * misfit_before or rule not in ('swapped_digits', 'wrong_digit'))
qualify row_number() over (partition by slip_id order by misfit + rarity + if(worst > 25, 60, 0) + if(is_impossible, 300, 0), rule, guess) = 1;
