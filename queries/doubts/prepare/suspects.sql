-- Purpose: the few slips whose numbers are looked at closely: four widths from the car's usual in any tie,
--          less strictly where the run was spoiled, a slip that cannot be at all, or one with an odd cell.
-- Grain: one row per suspect slip. Key: slip_id.
-- Reads: odd_slip_cells, glanced, slip_misfit
-- Needs: glanced
create or replace temp table suspects as
select
    slip_id, file, sheet, row, entry_order, car, outcome, lifted_after_ft, reaction_s, t60_s, t330_s, t660_s,
    v660_mph, t1000_s, t1320_s, v1320_mph, misfit, coalesce(worst, 0) as worst, car_runs, good_ft,
    is_impossible
from slip_misfit('glanced')
where worst > 16 or is_impossible or slip_id in (select slip_id from odd_slip_cells);
