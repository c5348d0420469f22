-- Purpose: the stretches of time between neighbouring readings of one series at one venue.
-- Grain: one row per venue, series and start; the first span of each starts long ago with no reading.
-- Reads: condition_readings
create or replace temp table condition_spans as
with starts as (
    select venue, series, read_at, reading from condition_readings
    union all
    select distinct venue, series, timestamp '0001-01-01', cast(null as double)
    from condition_readings
)

select
    venue,
    series,
    read_at as from_at,
    reading as from_reading,
    lead(read_at) over neighbours as to_at,
    lead(reading) over neighbours as to_reading
from starts
window neighbours as (partition by venue, series order by read_at);
