-- Purpose: a day's mean reading, for runs or readings written down without a time of day.
-- Grain: one row per venue, series and day.
-- A reading without a time stands in the first minutes of its day; untimed_reading is the mean of those.
create or replace temp table condition_days as
select
    venue,
    series,
    cast(read_at as date) as read_date,
    avg(reading) as reading,
    avg(reading) filter (where read_at - date_trunc('day', read_at) < interval 10 minutes)
        as untimed_reading
from condition_readings
group by venue, series, read_date;
