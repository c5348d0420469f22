-- Purpose: the moment from which a car's preload is known: there its base load is taken to hold.
-- Grain: one row per car. Key: car.
-- Turns are counted from where the adjuster leaves the cover, so a later change of turns moves the
-- adjuster and nothing else: it does not undo the wear since. Only a lower ring height does.
-- Reads: run_numbers, setting_entries, settings_at_run
create or replace temp table preload_first_set as
select car, min(moment) as first_set_at
from (
    select car, set_at as moment
    from setting_entries
    where adjustment = 'preload_turns' and setting is not null
    union all
    select numbers.car, numbers.run_at
    from settings_at_run as found
    inner join run_numbers as numbers using (slip_id)
    where found.adjustment = 'preload_turns' and found.setting is not null
)
where car is not null and moment is not null
group by car;
