-- Reason: the same air at the same hour of another day, to the last digit, and no third time: a row copied and given
--         another date. Who writes the same air every time has a habit, and is not asked.
-- Severity: questioned. Suggests: to leave the row out.
-- Reads: typed_weather
-- Needs: typed_weather
-- Yields to: wrong_year, day_and_month_swapped
insert into findings
with readings as (
    select
        reading_id, file, sheet, row, read_at,
        count(*) over (partition by venue, air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf) as times,
        hash(venue, read_at::time, air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf, wet_bulb_degf, grains) as air
    from typed_weather
    where read_at is not null and air_temp_degf is not null and pressure_inhg is not null
        and coalesce(humidity_pct, dew_point_degf, wet_bulb_degf, grains) is not null
),

alike as (
    select air, arg_min(read_at, reading_id) as first_at, arg_min(row, reading_id) as first_row, min(reading_id) as first_id
    from readings
    where times = 2
    group by air
    having count(distinct read_at::date) > 1
)

select
    file, sheet, row, 'date', null,
    'The same air as in row ' || first_row || ', at the same hour of ' || first_at::date || ': copied?',
    'leave out row', 'questioned', 'weather_repeats'
from readings
join alike using (air)
where reading_id <> first_id and read_at::date <> first_at::date;
