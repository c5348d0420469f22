-- Question: what air and track did each event have?
-- Grain: one row per venue and event.
select
    venue,
    event,
    min(run_date) as first_date,
    count(*) as runs,
    round(median(track_temp_degf)) as track_temp_degf,
    round(median(air_temp_degf)) as air_temp_degf,
    round(median(density_altitude_ft)) as density_altitude_ft,
    round(median(j607_factor), 3) as j607_factor
from runs
group by venue, event
order by first_date, event, venue;
