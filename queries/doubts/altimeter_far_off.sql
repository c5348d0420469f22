-- Reason: an altimeter setting is brought to sea level, so it lies near the others wherever it is read; no
--         weather that is raced in moves it so far.
-- Severity: questioned. Suggests: the number with two digits swapped, where that lies near.
-- Reads: written, swapped, typed_weather, altimeter_or_station, out_of_range, weather_leap
-- Yields to: altimeter_or_station, out_of_range, weather_leap
insert into findings
with settings as (
    select file, sheet, row, pressure_inhg as value
    from typed_weather
    where pressure_kind = 'altimeter' and pressure_inhg is not null
),

middle as (
    select median(value) as value
    from settings
    having count(*) >= 4
),

far as (
    select
        s.*, m.value as usual,
        list_filter(swapped(s.value, 2), lambda reading: abs(reading - m.value) < 0.4) as possible
    from settings as s
    cross join middle as m
    where abs(s.value - m.value) > 1.2 and (s.file, s.sheet, s.row, 'pressure_inhg') not in (
        select (file, sheet, row, "column") from findings
    ) and (s.file, s.sheet, s.row) not in (
        select (file, sheet, row) from findings where rule = 'altimeter_or_station'
    )
)

select
    file, sheet, row, 'pressure_inhg', written(value),
    'No weather brings an altimeter setting so far from the others, which are near ' || written(usual) || '.',
    if(len(list_distinct(possible)) = 1, written(possible[1]), null), 'questioned', 'altimeter_far_off'
from far;
