-- Purpose: the few slips whose numbers are looked at closely: one that is four widths from the car's usual
--          in any tie, or that can not be (splits that do not rise, a number no slip
--          can hold, a section no car is so quick over, a trap speed far from the section before it).
-- Grain: one row per suspect slip. Key: slip_id.
create or replace temp table suspects as
select
    slip_id, file, sheet, row, entry_order, car, outcome, lifted_after_ft, reaction_s, t60_s, t330_s, t660_s,
    v660_mph, t1000_s, t1320_s, v1320_mph, misfit, coalesce(worst, 0) as worst, car_runs, good_ft,
    coalesce(
        t330_s <= t60_s or t660_s <= greatest(t60_s, t330_s) or t1000_s <= greatest(t60_s, t330_s, t660_s)
        or t1320_s <= greatest(t60_s, t330_s, t660_s, t1000_s)
        or t60_s not between 0.7 and 6 or t330_s not between 2.2 and 20 or t660_s not between 3.4 and 30
        or t1000_s not between 4.5 and 40 or t1320_s not between 5.5 and 45
        or v660_mph not between 40 and 260 or v1320_mph not between 50 and 340
        or f_330 not between 0.9 and if(good_ft < 330, 20, 4)
        or (
            good_ft = 1320
            and (
                f_660 < 0.6 or f_1000 < 0.62 or f_1320 < 0.62 or f_trap660 not between 0.7 and 1.35
                or f_trap1320 not between 0.6 and 1.2
            )
        ),
        false
    ) as is_impossible
from slip_misfit('typed_timeslips')
where
    worst > 16 or reaction_s > 5
    or is_impossible;
