-- Purpose: what the air was on each day at each strip by its readings, and over the weeks around.
-- Grain: one row per weather reading with an air temperature. Key: reading_id.
-- Reads: typed_weather
-- Needs: typed_weather
create or replace temp table air_days as
select
    reading_id,
    air_temp_degf,
    (
        select median(o.air_temp_degf)
        from typed_weather as o
        where o.venue is not distinct from w.venue and o.read_at::date = w.read_at::date and o.reading_id <> w.reading_id
    ) as same_day_degf,
    (
        select median(o.air_temp_degf)
        from typed_weather as o
        where o.read_at::date <> w.read_at::date and o.read_at between w.read_at - interval 45 days and w.read_at + interval 45 days
    ) as season_degf
from typed_weather as w
where air_temp_degf < 46;
