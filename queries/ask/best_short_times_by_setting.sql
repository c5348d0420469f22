-- Question: which settings gave the best short times, and how often were they run?
-- Grain: one row per car and whole setting with three runs or more.
select
    car,
    preload_turns,
    counterweight_g,
    launch_rpm,
    count(*) as runs,
    round(min(t60_s), 3) as best_t60_s,
    round(median(t60_s), 3) as typical_t60_s
from runs
where use_t60
group by all
having count(*) >= 3
order by car, typical_t60_s, best_t60_s, runs desc, preload_turns, counterweight_g, launch_rpm;
