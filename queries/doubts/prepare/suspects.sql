-- Purpose: the few slips whose numbers are looked at closely: one that is four widths from the car's usual
--          in any tie, or that can not be (splits that do not rise, a number no slip
--          can hold, a section no car is so quick over, a trap speed far from the section before it).
-- Grain: one row per suspect slip. Key: slip_id.
create or replace temp table suspects as
select
    slip_id, file, sheet, row, entry_order, car, outcome, lifted_after_ft, reaction_s, t60_s, t330_s, t660_s,
    v660_mph, t1000_s, t1320_s, v1320_mph, misfit, coalesce(worst, 0) as worst, car_runs, good_ft,
    is_impossible
from slip_misfit('typed_timeslips')
where
    worst > 16 or is_impossible;
