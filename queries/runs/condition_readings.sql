-- Purpose: weather and track readings in one long table, each quantity by itself.
-- Grain: one row per venue, series and time; two readings at one time are averaged.
-- Reads: reading_entries
create or replace temp table condition_readings as
select venue, series, read_at, avg(reading order by reading) as reading
from reading_entries
where venue is not null and read_at is not null
group by venue, series, read_at;
