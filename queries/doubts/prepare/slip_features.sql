-- Purpose: what ties the numbers of one slip to each other, whatever the car: sections compared with the
--          section before, trap speeds compared with section times (225 mph s over 330 ft, 218.2 over 320 ft),
--          and of slips without 1000 ft both with the back half: no start, however poor, moves that.
-- Grain: table macro over any table with the seven numbers; one row per row of it.
-- Key: that of the table.
create or replace temp macro slip_features(slips) as table
select
    *,
    t60_s as f_60,
    v660_mph as f_v660,
    v1320_mph as f_v1320,
    (t330_s - t60_s) / nullif(t60_s, 0) as f_330,
    (t660_s - t60_s) / nullif(t60_s, 0) as f_early,
    (t660_s - t330_s) / nullif(t330_s - t60_s, 0) as f_660,
    v660_mph * (t660_s - t330_s) / 225.0 as f_trap660,
    v660_mph * t660_s / 450.0 as f_pass660,
    (t1000_s - t660_s) / nullif(t660_s - t330_s, 0) as f_1000,
    (t1320_s - t1000_s) / nullif(t1000_s - t660_s, 0) as f_1320,
    (t1320_s - t660_s) / nullif(t660_s, 0) as f_half,
    v1320_mph * (t1320_s - t1000_s) / 218.2 as f_trap1320,
    v1320_mph * t1320_s / 900.0 as f_pass1320,
    v1320_mph / nullif(v660_mph, 0) as f_speeds,
    if(t1000_s is null, (v660_mph + v1320_mph) * (t1320_s - t660_s) / 900.0, null) as f_back,
    case
        when outcome in ('lifted', 'missed shift', 'broke', 'aborted')
            then coalesce(lifted_after_ft, if(outcome = 'lifted', 330, 60))
        else 1320
    end as good_ft,
    coalesce(outcome in ('spun', 'bogged'), false) as bad_start
from query_table(slips);
