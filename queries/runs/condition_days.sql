-- Purpose: a day's mean reading, for runs or readings written down without a time of day.
-- Grain: one row per venue, series and day.
-- A reading without a time stands at noon; where a day has no others, it speaks for all of the day.
-- Reads: condition_readings
create or replace temp table condition_days as
select
    venue,
    series,
    cast(read_at as date) as read_date,
    avg(reading order by reading) as reading,
    case
        when bool_and(read_at = date_trunc('day', read_at) + interval 12 hours) then avg(reading order by reading)
    end as untimed_reading
from condition_readings
group by venue, series, read_date;
