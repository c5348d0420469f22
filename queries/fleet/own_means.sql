-- Purpose: the weighted means of a few cars; of what never moved, the value itself.
-- Grain: one row per chosen car.
-- Key: car_no.
create or replace temp table fleet_own_means as
select
    run.car_no,
    case
        when min(run.turns) = max(run.turns) then min(run.turns)
        else sum(run.weight * run.turns) / sum(run.weight)
    end as turns,
    case
        when min(run.grams) = max(run.grams) then min(run.grams)
        else sum(run.weight * run.grams) / sum(run.weight)
    end as grams,
    case
        when min(run.rpm) = max(run.rpm) then min(run.rpm)
        else sum(run.weight * run.rpm) / sum(run.weight)
    end as rpm,
    case
        when min(run.track) = max(run.track) then min(run.track)
        else sum(run.weight * run.track) / sum(run.weight)
    end as track,
    case
        when min(run.air) = max(run.air) then min(run.air)
        else sum(run.weight * run.air) / sum(run.weight)
    end as air,
    case
        when min(run.seconds) = max(run.seconds) then min(run.seconds)
        else sum(run.weight * run.seconds) / sum(run.weight)
    end as seconds
from fleet_weighted as run
inner join fleet_chosen as chosen on run.car_no = chosen.car_no
group by run.car_no;
